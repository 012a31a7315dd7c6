package roll

import (
	"fmt"

	"saltbush/internal/hike"
)

// Blocked says why the party may not leave the trailhead without a written reason, ""
// where nothing stops it. House judgement after the trade: a leader is there, and never
// fewer than two staff; nobody on call means that nobody acts when they are late.
func Blocked(r Record) string {
	staff, leader := 0, false
	for _, p := range r.State().People {
		if p.Staff && p.Where == WhereHere {
			staff++
			leader = leader || p.Role == string(hike.Leader)
		}
	}
	switch {
	case !leader:
		return "The leader is not marked here."
	case staff < hike.FewestStaff:
		return fmt.Sprintf("A party needs %d staff at the trailhead; %d marked here.", hike.FewestStaff, staff)
	case r.Hike.OnCall.Name == "":
		return "Nobody is named as on call: an alarm that nobody answers is worth nothing."
	}
	return ""
}

// Unmarked lists the names that are neither here, absent nor turned away.
func (s State) Unmarked() []string {
	var names []string
	for _, p := range s.People {
		if p.Where == WhereExpected {
			names = append(names, p.Name)
		}
	}
	return names
}
