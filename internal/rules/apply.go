package rules

import (
	"fmt"
	"time"
)

// Our judgment: nobody is reminded within half an hour of the first mail.
const soonestReminder = 30 * time.Minute

// RemindAt returns when people who have not read an announcement are reminded, once: ChaseAfter it was sent, and at
// the latest ChaseBefore the meeting time. It returns false where that time is not before the meeting.
func (r Rules) RemindAt(sent, meet time.Time) (time.Time, bool) {
	at := sent.Add(r.ChaseAfter)
	if latest := meet.Add(-r.ChaseBefore); at.After(latest) {
		at = latest
	}
	if soonest := sent.Add(soonestReminder); at.Before(soonest) {
		at = soonest
	}
	return at, at.Before(meet)
}

// leastStaff is the bound below which no organization may set FewestStaff.
const leastStaff = 2

// StaffNeeded returns how many staff a number of participants needs.
func (r Rules) StaffNeeded(participants int) int {
	return max(r.FewestStaff, StaffNeededAt(participants, r.Ratio))
}

// StaffNeededAt returns how many staff a number of participants needs at a ratio, never fewer than two.
func StaffNeededAt(participants, ratio int) int {
	return max(leastStaff, (participants+ratio-1)/ratio)
}

// ScoutStands returns how long a scout report of a day is good for.
func (r Rules) ScoutStands(on time.Time) time.Duration {
	month := on.Month()
	inside := month >= r.StormFirst && month <= r.StormLast
	if r.StormFirst > r.StormLast { // the season runs over the new year
		inside = month >= r.StormFirst || month <= r.StormLast
	}
	if inside {
		return min(r.ScoutWet, r.ScoutDry)
	}
	return r.ScoutDry
}

// secondStepNever is the wait that means that no second step is required.
const secondStepNever = 3650 * Day

// SecondStepBy returns when a coordinator who was first asked at a time must have a second step, and false where the
// organization requires none.
func (r Rules) SecondStepBy(asked time.Time) (time.Time, bool) {
	return asked.Add(r.SecondStep), r.SecondStep < secondStepNever
}

// RefusedFor lists what gets a person refused at the trailhead, besides bringing less water than the plan asks for.
// Common practice, no source: each can be seen or asked about, and applies to everybody.
func RefusedFor() []string {
	return []string{"Sandals or smooth soles", "Feeling ill, or a hangover", "No emergency contact who stays at home"}
}

// NoticeRule is a rule as the public notice of a hike prints it.
type NoticeRule struct{ About, Says, Note string }

// NoticeRules lists the rules that the public notice prints. Common practice, no source.
func (r Rules) NoticeRules() []NoticeRule {
	return []NoticeRule{
		{
			About: fmt.Sprintf("Under %d", r.YoungestAlone),
			Says:  "with the consent of a parent or legal guardian",
		},
		{
			About: "Not coming",
			Says:  "give your place back by your private link",
			Note:  "It goes to the next on the list. No blame for doubts about heat.",
		},
		{
			About: "The leader",
			Says:  "may refuse, change or stop the hike",
			Note:  "Land manager, law and conditions come first.",
		},
	}
}
