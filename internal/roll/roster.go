package roll

import (
	"cmp"
	"slices"
	"strings"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/text"
)

// RosterOf lists the staff, then everyone with a confirmed spot by name. The adult named in
// a minor's sign-up is responsible for them, if that is somebody on this hike.
func RosterOf(h hike.Hike, places []signup.SignUp) party.Roster {
	var roster party.Roster
	for _, m := range h.Staff {
		roster = append(roster,
			party.Entry{ID: party.PersonID(m.Person), Name: m.Name, Staff: true, Role: string(m.Role)})
	}
	walking := slices.DeleteFunc(slices.Clone(places), func(p signup.SignUp) bool {
		return p.State != signup.Confirmed
	})
	slices.SortStableFunc(walking, func(a, b signup.SignUp) int {
		return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
	for _, p := range walking {
		roster = append(roster, party.Entry{
			ID: party.PersonID(p.ID), Name: p.Name, Minor: p.Minor, Lacks: signup.Unfit(p, walking, h.Staff),
			ActionLine: p.Carded || p.Needs != "", Plate: p.Car.Plate,
			Drives: p.Car != signup.Car{},
		})
	}
	for _, p := range walking {
		if p.Minor {
			setResponsible(roster, p, walking, h.Staff)
		}
	}
	return roster
}

// setResponsible finds the adult on the roster who is responsible for a minor: the one named
// for the hike, or else the guardian, by name or phone number.
func setResponsible(roster party.Roster, minor signup.SignUp, walking []signup.SignUp, staff []team.Staff) {
	for _, matches := range []func(party.Entry) bool{
		func(e party.Entry) bool { return minor.AdultID != "" && string(e.ID) == string(minor.AdultID) },
		func(e party.Entry) bool { return text.Same(e.Name, minor.Adult) },
		func(e party.Entry) bool { return text.Same(e.Name, minor.Guardian) },
		func(e party.Entry) bool { return text.SamePhone(phoneOf(e.ID, walking, staff), minor.GuardianPhone) },
	} {
		i := slices.IndexFunc(roster, func(e party.Entry) bool { return !e.Minor && matches(e) })
		if i >= 0 {
			roster[i].ResponsibleFor = append(roster[i].ResponsibleFor, party.PersonID(minor.ID))
			return
		}
	}
}

func phoneOf(id party.PersonID, walking []signup.SignUp, staff []team.Staff) string {
	for _, p := range walking {
		if party.PersonID(p.ID) == id {
			return p.Mobile
		}
	}
	for _, m := range staff {
		if party.PersonID(m.Person) == id {
			return m.Phone
		}
	}
	return ""
}
