package roll

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"saltbush/internal/hike"
)

// RosterOf lists the staff, then everyone with a confirmed place by name. Minors are in
// the charge of the adult that their sign-up names, where that is somebody on this hike.
func RosterOf(h hike.Hike, places []hike.SignUp) Roster {
	var roster Roster
	for _, m := range h.Staff {
		roster = append(roster, Entry{ID: PersonID(m.Person), Name: m.Name, Staff: true, Role: string(m.Role)})
	}
	walking := slices.DeleteFunc(slices.Clone(places), func(p hike.SignUp) bool { return p.State != hike.Confirmed })
	slices.SortStableFunc(walking, func(a, b hike.SignUp) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	phones := phonesOf(h, walking)
	for _, p := range walking {
		roster = append(roster, Entry{ID: PersonID(p.ID), Name: p.Name, Minor: p.Minor, Lacks: lacks(p, phones), ActionLine: p.Needs != "", Plate: p.Car.Plate})
	}
	for _, p := range walking {
		if p.Minor {
			roster.charge(p, phones)
		}
	}
	return roster
}

// phonesOf finds people on the hike by their number.
func phonesOf(h hike.Hike, walking []hike.SignUp) map[string]PersonID {
	by := map[string]PersonID{}
	for _, p := range walking {
		by[digits(p.Mobile)] = PersonID(p.ID)
	}
	for _, m := range h.Staff {
		by[digits(m.Phone)] = PersonID(m.Person)
	}
	delete(by, "")
	return by
}

// lacks says what keeps a walker from departing until it is cured. A contact who walks
// along is no contact (practice, wrong contact number).
func lacks(p hike.SignUp, phones map[string]PersonID) []string {
	var list []string
	contact := digits(p.EmergencyPhone)
	_, walks := phones[contact]
	switch {
	case contact == "" || strings.TrimSpace(p.EmergencyName) == "":
		list = append(list, "no emergency contact")
	case contact == digits(p.Mobile):
		list = append(list, "the emergency contact's number is their own")
	case walks:
		list = append(list, "the emergency contact is on this hike")
	}
	if !p.Acknowledged {
		list = append(list, "risks not accepted")
	}
	if p.Minor && (strings.TrimSpace(p.Guardian) == "" || digits(p.GuardianPhone) == "") {
		list = append(list, "no guardian's consent")
	}
	return list
}

// charge finds who answers for a minor on the roster: the adult named for this hike, else
// an adult of the guardian's name or number.
func (r Roster) charge(minor hike.SignUp, phones map[string]PersonID) {
	by, name := phones[digits(minor.GuardianPhone)], orElse(strings.TrimSpace(minor.Adult), strings.TrimSpace(minor.Guardian))
	if minor.Adult != "" {
		by = ""
	}
	for i := range r {
		named := name != "" && strings.EqualFold(strings.TrimSpace(r[i].Name), name)
		if !r[i].Minor && (named || by != "" && r[i].ID == by) {
			r[i].ResponsibleFor = append(r[i].ResponsibleFor, PersonID(minor.ID))
			return
		}
	}
}

func digits(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return r
		}
		return -1
	}, s)
}
