package watch

import (
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/ref"
)

// DayEntry is one thing that happened on some hike: a record of its roll, or a line of
// its log. One of the two is set.
type DayEntry struct {
	Hike  ref.Hike
	Title string
	// Zone is the trailhead's.
	Zone   *time.Location
	Record *party.Event
	// Names are those of the people whom the record names and the sign-ups know.
	Names []string
	Line  *Logged
}

// At is when it happened.
func (e DayEntry) At() time.Time {
	if e.Record != nil {
		return e.Record.At
	}
	return e.Line.At
}

// SortDay puts entries in the order of time, the latest first.
func SortDay(list []DayEntry) {
	slices.SortStableFunc(list, func(a, b DayEntry) int { return b.At().Compare(a.At()) })
}
