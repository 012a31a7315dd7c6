package signup

import (
	"fmt"

	"saltbush/internal/fault"
	"saltbush/internal/team"
	"saltbush/internal/text"
)

// checkMinor asks for a guardian's consent and the adult on the hike who answers for the
// child. A sign-up of a grown-up drops both.
func checkMinor(v fault.Invalid, s *SignUp, region string) {
	if !s.Minor {
		s.Guardian, s.GuardianPhone, s.Adult = "", "", ""
		return
	}
	v.Name("guardian", &s.Guardian, "Name the parent or legal guardian who agrees.")
	v.Phone("guardian_tel", &s.GuardianPhone, region)
	v.Name("adult", &s.Adult, "Name the adult on this hike who answers for the child.")
	if s.Consented.IsZero() {
		v.Add("consent", "The parent or legal guardian agrees here, even where another adult brings the child.")
	}
}

// AdultOf finds who answers for a minor among those who have or want a place.
func AdultOf(s SignUp, others []SignUp) (SignUp, bool) {
	for _, o := range others {
		if !o.Minor && o.OnHike() && text.Same(o.Name, s.Adult) {
			return o, true
		}
	}
	return SignUp{}, false
}

// Charges lists the minors for whom a person answers on a hike: they do not walk without
// them, so their places are given back together.
func Charges(s SignUp, others []SignUp) []SignUp {
	var list []SignUp
	for _, o := range others {
		if !s.Minor && o.ID != s.ID && o.Minor && o.OnHike() && text.Same(o.Adult, s.Name) {
			list = append(list, o)
		}
	}
	return list
}

// MinorsOf counts the other minors of the same adult.
func MinorsOf(s SignUp, others []SignUp) int {
	n := 0
	for _, o := range others {
		if o.ID != s.ID && o.Minor && o.OnHike() && text.Same(o.Adult, s.Adult) {
			n++
		}
	}
	return n
}

// AloneWithChild says where an adult would be alone with one child that is not theirs, ""
// where not. It holds on the trail and in a car alike: youth programmes ask for two adults
// (scouting safety texts, two-adult rule).
func AloneWithChild(s SignUp, others []SignUp) string {
	if !s.Minor || s.Adult == "" || text.Same(s.Adult, s.Guardian) {
		return ""
	}
	if MinorsOf(s, others) > 0 {
		return ""
	}
	return fmt.Sprintf("%s is not the child's guardian and answers for this child alone: never the two by themselves, in a car either. A second adult, or the guardian, drives along.", s.Adult)
}

func OnStaff(name string, staff []team.Staff) bool {
	for _, m := range staff {
		if text.Same(m.Name, name) {
			return true
		}
	}
	return false
}
