package rules

import "time"

// House judgement: nobody is reminded sooner than half an hour after the first mail.
const soonestReminder = 30 * time.Minute

// RemindAt is when those who have not read are reminded, once: after the house's wait, but
// early enough before the meeting time. It is false where that time has passed.
func (r Rules) RemindAt(told, meet time.Time) (time.Time, bool) {
	at := told.Add(r.ChaseAfter)
	if latest := meet.Add(-r.ChaseBefore); at.After(latest) {
		at = latest
	}
	if soonest := told.Add(soonestReminder); at.Before(soonest) {
		at = soonest
	}
	return at, at.Before(meet)
}
