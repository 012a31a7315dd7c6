package hike

import "time"

const (
	// House judgement: in the two days before, leaders ring people about the forecast, the
	// water and the cars (the recheck from two days before, and the go decision).
	callsBegin = 48 * time.Hour
	// House judgement: what was left open is settled within two days; copies on phones
	// expire after as long.
	callsEnd = 48 * time.Hour
)

// DayAt reports whether now belongs to the day of the hike for those who walk it: from the
// calls before it until two days after, and for as long as it is out.
func (h Hike) DayAt(now time.Time) bool {
	switch h.State {
	case Out:
		return true
	case Posted, Back, Closed:
		return !now.Before(h.Meet.Add(-callsBegin)) && now.Before(h.Start.Add(callsEnd))
	}
	return false
}
