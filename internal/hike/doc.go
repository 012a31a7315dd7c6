// Package hike is about scheduled hikes: their states, staff, decisions and announcements, who
// is admitted, and the store that all of it needs. It knows no transport and no SQL, and takes
// the current time as an argument.
package hike
