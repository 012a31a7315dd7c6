// Package team serves the staffing of hikes, staff records and availability.
package team
