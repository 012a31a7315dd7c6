package signup

import (
	"cmp"
	"slices"

	"saltbush/internal/text"
)

// SameAs is what makes two requests the same person's: a household shares an address, and
// two people a name, but hardly both.
func (s SignUp) SameAs() string {
	return text.Fold(s.Name) + "\n" + text.Fold(s.Email)
}

// HearsAnnouncements reports whether a decision is told to the person.
func (s SignUp) HearsAnnouncements() bool {
	return s.State == Confirmed || s.State == Waiting || s.State == Offered || s.State == Asked
}

// Walking lists who is to walk: confirmed places, by name, as rolls on paper are read.
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
