// Package team is the people who lead: roles, answers, approvals, certificates, absences, and
// whether a person is qualified for what a hike asks.
package team
