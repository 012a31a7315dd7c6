package signup

import (
	"cmp"
	"slices"

	"saltbush/internal/text"
)

// SameAs returns a key that two requests of the same person share. A household may share an
// address, and two people may share a name, but hardly both.
func (s SignUp) SameAs() string {
	return text.Fold(s.Name) + "\n" + text.Fold(s.Email)
}

// HearsAnnouncements reports whether the person is told about decisions.
func (s SignUp) HearsAnnouncements() bool {
	return s.State == Confirmed || s.State == Waiting || s.State == Offered || s.State == Asked
}

// Walking lists the people with a confirmed place, by name.
func Walking(places []SignUp) []SignUp {
	var list []SignUp
	for _, p := range places {
		if p.State == Confirmed {
			list = append(list, p)
		}
	}
	slices.SortStableFunc(list, func(a, b SignUp) int { return cmp.Compare(a.Name, b.Name) })
	return list
}
