package hike

import (
	"fmt"

	"saltbush/internal/text"
)

// checkMinor asks for a guardian's consent and the adult on the hike who answers for the
// child. A sign-up of a grown-up drops both.
func (v Invalid) checkMinor(s *SignUp, region string) {
	if !s.Minor {
		s.Guardian, s.GuardianPhone, s.Adult = "", "", ""
		return
	}
	v.name("guardian", &s.Guardian, "Name the parent or legal guardian who agrees.")
	v.phone("guardian_tel", &s.GuardianPhone, region)
	v.name("adult", &s.Adult, "Name the adult on this hike who answers for the child.")
	if s.Consented.IsZero() {
		v.Add("consent", "The parent or legal guardian agrees here, even where another adult brings the child.")
	}
}

// CheckAdult holds the adult named for a minor against the hike: it must be a grown-up on
// it, with no more minors than the rules allow. Faults stand beside the field.
func CheckAdult(s SignUp, h Hike, others []SignUp) error {
	v := Invalid{}
	if !s.Minor || text.Empty(s.Adult) {
		return nil
	}
	_, walks := adultOf(s, others)
	if !walks && !onStaff(s.Adult, h.Staff) {
		v.Add("adult", "Nobody of this name has asked for a place on this hike. The adult signs up first; give the name as they did.")
		return v.Err()
	}
	if most := h.Rules().MinorsPerAdult; minorsOf(s, others) >= most {
		v.Add("adult", fmt.Sprintf("%s already answers for %d children, and no adult answers for more. Name another adult.", s.Adult, most))
	}
	return v.Err()
}

// adultOf finds who answers for a minor among those who have or want a place.
func adultOf(s SignUp, others []SignUp) (SignUp, bool) {
	for _, o := range others {
		if !o.Minor && o.onHike() && text.Same(o.Name, s.Adult) {
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
		if !s.Minor && o.ID != s.ID && o.Minor && o.onHike() && text.Same(o.Adult, s.Name) {
			list = append(list, o)
		}
	}
	return list
}

// minorsOf counts the other minors of the same adult.
func minorsOf(s SignUp, others []SignUp) int {
	n := 0
	for _, o := range others {
		if o.ID != s.ID && o.Minor && o.onHike() && text.Same(o.Adult, s.Adult) {
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
	if minorsOf(s, others) > 0 {
		return ""
	}
	return fmt.Sprintf("%s is not the child's guardian and answers for this child alone: never the two by themselves, in a car either. A second adult, or the guardian, drives along.", s.Adult)
}

func onStaff(name string, staff []Staff) bool {
	for _, m := range staff {
		if text.Same(m.Name, name) {
			return true
		}
	}
	return false
}
