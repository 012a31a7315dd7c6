package hike

import (
	"slices"
	"time"

	"saltbush/internal/signup"
)

// ImportRow is what becomes of one request of a list that somebody brings in.
type ImportRow struct {
	SignUp signup.SignUp
	// Here says that the person has or wants a place already; nothing is done for them.
	Here bool
	// Wrong is why the request is refused: an Invalid or a Refusal.
	Wrong error
}

// Added reports whether the request is one that is stored.
func (b ImportRow) Added() bool { return !b.Here && b.Wrong == nil }

// Import says what becomes of a list of requests that passed Check, as if each person had
// asked in that order beside those who asked before. It is asked with the hike's row
// locked. Whoever is on the hike already is left as they are, so that a list may be brought
// in twice.
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

// ImportedWhole reports whether a list may be stored: nothing of it is refused.
func ImportedWhole(list []ImportRow) bool {
	return !slices.ContainsFunc(list, func(b ImportRow) bool { return b.Wrong != nil })
}
