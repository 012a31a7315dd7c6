package hike

import "time"

// House judgement: a day before there is still time to buy water and to give a place back;
// in the last hours people are on the road.
const (
	eveFrom  = 24 * time.Hour
	eveUntil = 3 * time.Hour
)

// RemindsEve reports whether it is time to remind those with a place of what to bring: the
// hike goes, and people meet tomorrow.
func (h Hike) RemindsEve(now time.Time) bool {
	left := h.Meet.Sub(now)
	return h.State == Posted && h.Decision.Made() && left <= eveFrom && left >= eveUntil
}
