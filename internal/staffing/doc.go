// Package staffing matches people with hikes: the crew of a hike and how many it needs, gaps,
// clashes, candidates and reminders.
package staffing
