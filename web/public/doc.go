// Package public serves what anybody may see: the calendar, the page of a hike, and calendar
// feeds.
package public
