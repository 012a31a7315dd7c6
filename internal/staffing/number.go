package staffing

import (
	"cmp"
	"fmt"

	"saltbush/internal/format"
	"saltbush/internal/rules"
)

// Party has the numbers of a hike. Minors and their responsible adults are among the
// participants.
type Party struct {
	Participants   int
	Minors         int
	Responsible    int
	Cap            int  // largest party of the permit; 0 if unknown
	CapCountsStaff bool // the permit's number includes the staff
	Persons        int  // on the staff, qualified or not
	Qualified      int  // of those
	Ratio          int  // participants per member of staff
	Fewest         int  // smallest number of staff; at least two
	MinorsEach     int  // per responsible adult; 0 means the default rule
}

// Cut is the smallest number of participants who must give up their place, and how many of them
// may be of which group.
type Cut struct {
	People        int
	Minors        int // at most this many of the cut
	Responsible   int // at most this many of the responsible adults
	Others        int // at most this many of the other adults
	MinorsAtLeast int // at least this many of the cut
}

// StaffNumber is the staffing that a party needs.
type StaffNumber struct {
	Needed int // staff for these participants
	Total  int // participants with that staff
	Short  int // how many qualified staff are missing
	// Permit is the cut that the permit and the minors require if there were as many qualified
	// staff as needed. Staffed is the cut with the qualified staff there are.
	Permit, Staffed Cut
	// Most is the largest number of participants that the qualified staff and the permit allow.
	Most int
}

// needed returns how many staff the rules require for so many participants.
func (p Party) needed(participants int) int {
	return max(p.Fewest, rules.StaffNeededAt(participants, p.Ratio))
}

// Number computes the staffing.
func (p Party) Number() StaffNumber {
	p.MinorsEach = cmp.Or(p.MinorsEach, rules.DefaultRules().MinorsPerAdult)
	n := StaffNumber{Needed: p.needed(p.Participants)}
	n.Total = p.Participants + n.Needed
	n.Short = max(0, n.Needed-p.Qualified)
	n.Permit = p.cutTo(p.largestAllowed(p.capAllows))
	n.Most = p.largestAllowed(func(q int) bool { return p.capAllows(q) && p.staffAllows(q) })
	n.Staffed = p.cutTo(n.Most)
	return n
}

func (p Party) capAllows(participants int) bool {
	switch {
	case p.Cap == 0:
		return true
	case p.CapCountsStaff:
		// Everybody who comes counts: extra staff take up room, and missing staff will.
		return participants+max(p.needed(participants), p.Persons) <= p.Cap
	}
	return participants <= p.Cap
}

func (p Party) staffAllows(participants int) bool {
	return participants == 0 || p.needed(participants) <= p.Qualified
}

// mostParticipants bounds the search. Our judgment: no hike is larger.
const mostParticipants = 500

// largestAllowed returns the largest allowed number of participants. A larger party is never
// allowed where a smaller one is not, so the search stops at the first that is not.
func (p Party) largestAllowed(allowed func(int) bool) int {
	for q := 1; q <= mostParticipants; q++ {
		if !allowed(q) {
			return q - 1
		}
	}
	return mostParticipants
}

// cutTo finds the smallest cut that leaves no more than most participants, and no responsible
// adult with too many minors.
func (p Party) cutTo(most int) Cut {
	others := p.Participants - p.Minors - p.Responsible
	for c := max(0, p.Participants-most); c <= p.Participants; c++ {
		found, cut := false, Cut{People: c, MinorsAtLeast: c}
		for minors := 0; minors <= min(c, p.Minors); minors++ {
			for adults := 0; adults <= min(c-minors, p.Responsible); adults++ {
				rest := c - minors - adults
				if rest > others || p.Minors-minors > p.MinorsEach*(p.Responsible-adults) {
					continue
				}
				found = true
				cut.Minors, cut.Responsible = max(cut.Minors, minors), max(cut.Responsible, adults)
				cut.Others = max(cut.Others, rest)
				cut.MinorsAtLeast = min(cut.MinorsAtLeast, minors)
			}
		}
		if found {
			return cut
		}
	}
	return Cut{People: p.Participants}
}

// Words describes the cut and who may be part of it; empty if there is none.
func (c Cut) Words(p Party) string {
	if c.People == 0 {
		return ""
	}
	text := fmt.Sprintf("%s must give up a place: %d are left.", people(c.People), p.Participants-c.People)
	if c.MinorsAtLeast > 0 {
		text += fmt.Sprintf(" At least %d of them minors, who lack a responsible adult.", c.MinorsAtLeast)
	}
	switch {
	case p.Responsible > 0 && c.Responsible == 0:
		text += fmt.Sprintf(" None of the %s responsible for the %s may be among them.",
			format.Count(p.Responsible, "adult", "adults"), format.Count(p.Minors, "minor", "minors"))
	case c.Responsible > 0 && c.Responsible < min(c.People, p.Responsible):
		text += fmt.Sprintf(" At most %d of the %d responsible adults, and then with minors of theirs.",
			c.Responsible, p.Responsible)
	}
	return text
}

func people(n int) string { return format.Count(n, "person", "people") }
