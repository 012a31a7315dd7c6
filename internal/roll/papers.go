package roll

import (
	"cmp"
	"slices"
	"strings"

	"saltbush/internal/hike"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/text"
)

// RosterOf lists the staff, then everyone with a confirmed place by name. Minors are in
// the charge of the adult that their sign-up names, where that is somebody on this hike.
func RosterOf(h hike.Hike, places []signup.SignUp) Roster {
	var roster Roster
	for _, m := range h.Staff {
		roster = append(roster, Entry{ID: PersonID(m.Person), Name: m.Name, Staff: true, Role: string(m.Role)})
	}
	walking := slices.DeleteFunc(slices.Clone(places), func(p signup.SignUp) bool { return p.State != signup.Confirmed })
	slices.SortStableFunc(walking, func(a, b signup.SignUp) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	for _, p := range walking {
		roster = append(roster, Entry{ID: PersonID(p.ID), Name: p.Name, Minor: p.Minor, Lacks: signup.Unfit(p, walking, h.Staff), ActionLine: p.Carded || p.Needs != "", Plate: p.Car.Plate})
	}
	for _, p := range walking {
		if p.Minor {
			roster.charge(p, walking, h.Staff)
		}
	}
	return roster
}

// charge finds the adult who answers for a minor on the roster: by name, or else the
// guardian, by name or number.
func (r Roster) charge(minor signup.SignUp, walking []signup.SignUp, staff []team.Staff) {
	for _, is := range []func(Entry) bool{
		func(e Entry) bool { return minor.AdultID != "" && string(e.ID) == string(minor.AdultID) },
		func(e Entry) bool { return text.Same(e.Name, minor.Adult) },
		func(e Entry) bool { return text.Same(e.Name, minor.Guardian) },
		func(e Entry) bool { return text.SamePhone(phoneOf(e.ID, walking, staff), minor.GuardianPhone) },
	} {
		if i := slices.IndexFunc(r, func(e Entry) bool { return !e.Minor && is(e) }); i >= 0 {
			r[i].ResponsibleFor = append(r[i].ResponsibleFor, PersonID(minor.ID))
			return
		}
	}
}

func phoneOf(id PersonID, walking []signup.SignUp, staff []team.Staff) string {
	for _, p := range walking {
		if PersonID(p.ID) == id {
			return p.Mobile
		}
	}
	for _, m := range staff {
		if PersonID(m.Person) == id {
			return m.Phone
		}
	}
	return ""
}
