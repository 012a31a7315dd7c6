// Package team is about the people who lead hikes: their roles, answers, approvals,
// certificates and absences, and whether a person is qualified for what a hike asks.
package team
