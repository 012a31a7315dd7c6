// Package public serves what anybody may see: the calendar, the page of a hike, and feeds.
package public
