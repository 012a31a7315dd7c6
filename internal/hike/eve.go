package hike

import "time"

// Reminders are sent within these times before the meeting time. Our judgment: a day before
// there is still time to buy water or to give a place back, and in the last hours people are on
// the road.
const (
	eveFrom  = 24 * time.Hour
	eveUntil = 3 * time.Hour
)

// RemindsEve reports whether it is time to remind the people with a place what to bring: the
// hike goes, and they meet within a day.
func (h Hike) RemindsEve(now time.Time) bool {
	left := h.Meet.Sub(now)
	return h.State == Posted && h.Decision.Made() && left <= eveFrom && left >= eveUntil
}
