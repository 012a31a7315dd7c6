// Package team serves staffing, qualifications and availability.
package team
