package signup

import (
	"fmt"
	"slices"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/text"
)

// checkMinor requires a guardian's consent and the name of an adult on the hike who answers for
// the child. It clears both for a grown-up.
func checkMinor(v fault.Invalid, s *SignUp, region string) {
	if !s.Minor {
		s.Guardian, s.GuardianPhone, s.Adult, s.AdultID = "", "", "", ""
		return
	}
	v.Name("guardian", &s.Guardian, "Name the parent or legal guardian who agrees.")
	v.Phone("guardian_tel", &s.GuardianPhone, region)
	v.Name("adult", &s.Adult, "Name the adult on this hike who answers for the child.")
	if s.Consented.IsZero() {
		v.Add("consent", "The parent or legal guardian agrees here, even where another adult brings the child.")
	}
}

// Adult is a grown-up who may answer for a child on a hike.
type Adult struct {
	ID   ref.Person
	Name string
}

// Adults lists the grown-ups on a hike: people who have or want a place, then the staff.
func Adults(places []SignUp, staff []team.Staff) []Adult {
	var list []Adult
	for _, p := range places {
		if !p.Minor && p.OnHike() {
			list = append(list, Adult{ref.Person(p.ID), p.Name})
		}
	}
	for _, m := range staff {
		list = append(list, Adult{ref.Person(m.Person), m.Name})
	}
	return list
}

// AdultAmong finds who answers for a minor. It looks for the person with AdultID. If there is
// no ID, or that person left the hike, it takes the first one with the name.
func (s SignUp) AdultAmong(list []Adult) (Adult, bool) {
	i := slices.IndexFunc(list, func(a Adult) bool { return s.AdultID != "" && a.ID == s.AdultID })
	if i < 0 {
		i = slices.IndexFunc(list, func(a Adult) bool { return text.Same(a.Name, s.Adult) })
	}
	if !s.Minor || i < 0 {
		return Adult{}, false
	}
	return list[i], true
}

// Charges lists the minors on a hike for whom a person answers. They do not walk without that
// person, so all their places are given back together.
func Charges(s SignUp, others []SignUp, staff []team.Staff) []SignUp {
	adults := append(Adults(others, staff), Adult{ref.Person(s.ID), s.Name})
	var list []SignUp
	for _, o := range others {
		of, known := o.AdultAmong(adults)
		if !s.Minor && o.ID != s.ID && o.OnHike() && known && of.ID == ref.Person(s.ID) {
			list = append(list, o)
		}
	}
	return list
}

// MinorsOf counts the other minors who have the same adult. If the adult is not on the hike,
// minors are compared by the name they gave.
func MinorsOf(s SignUp, others []SignUp, staff []team.Staff) int {
	adults := Adults(others, staff)
	adult, known := s.AdultAmong(adults)
	n := 0
	for _, o := range others {
		of, is := o.AdultAmong(adults)
		same := is == known && of.ID == adult.ID && (known || text.Same(o.Adult, s.Adult))
		if o.ID != s.ID && o.Minor && o.OnHike() && same {
			n++
		}
	}
	return n
}

// AloneWithChild warns where an adult would be alone with one child who is not theirs;
// otherwise it returns "". Youth programs ask for two adults, on the trail and in a car alike
// (scouting safety texts, two-adult rule).
func AloneWithChild(s SignUp, others []SignUp, staff []team.Staff) string {
	if !s.Minor || s.Adult == "" || text.Same(s.Adult, s.Guardian) {
		return ""
	}
	if MinorsOf(s, others, staff) > 0 {
		return ""
	}
	return fmt.Sprintf("%s is not the child's guardian and answers for this child alone: never the two by themselves, "+
		"in a car either. A second adult, or the guardian, drives along.", s.Adult)
}
