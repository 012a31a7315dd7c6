package hike

import (
	"slices"
	"time"

	"saltbush/internal/signup"
)

// ImportRow is the result of importing one request of a list.
type ImportRow struct {
	SignUp signup.SignUp
	// Here means that the person already has or wants a place. Nothing is done for them.
	Here bool
	// Wrong is why the request is refused: an Invalid or a Refusal.
	Wrong error
}

// Added reports whether the request is stored.
func (b ImportRow) Added() bool { return !b.Here && b.Wrong == nil }

// Import decides about each request of a list, all of which passed Check, as if the people had
// asked one after the other. The hike's row must be locked. People who are on the hike already
// stay as they are, so a list can be imported twice.
func (h Hike) Import(list, others []signup.SignUp, now time.Time) []ImportRow {
	all := slices.Clone(others)
	here := map[string]bool{}
	for _, o := range others {
		here[o.SameAs()] = o.OnHike() || here[o.SameAs()]
	}
	var out []ImportRow
	for _, s := range list {
		b := ImportRow{SignUp: s, Here: here[s.SameAs()]}
		if !b.Here {
			b.Wrong = h.importOne(&b.SignUp, all, now)
		}
		if b.Added() {
			all, here[s.SameAs()] = append(all, b.SignUp), true
		}
		out = append(out, b)
	}
	return out
}

func (h Hike) importOne(s *signup.SignUp, others []signup.SignUp, now time.Time) error {
	if err := AssignAdult(s, h, others); err != nil {
		return err
	}
	taken, waiting := signup.CountPlaces(others, now)
	return h.Admit(s, now, taken, waiting)
}

// ImportedWhole reports whether a list may be stored: no request is refused.
func ImportedWhole(list []ImportRow) bool {
	return !slices.ContainsFunc(list, func(b ImportRow) bool { return b.Wrong != nil })
}
