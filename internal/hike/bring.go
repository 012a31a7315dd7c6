package hike

import (
	"slices"
	"strings"
	"time"
)

// Brought is what becomes of one request of a list that somebody brings in.
type Brought struct {
	SignUp SignUp
	// Here says that the person has or wants a place already; nothing is done for them.
	Here bool
	// Wrong is why the request is refused: an Invalid or a Refusal.
	Wrong error
}

// Added reports whether the request is one that is stored.
func (b Brought) Added() bool { return !b.Here && b.Wrong == nil }

// Bring says what becomes of a list of requests that passed Check, as if each person had
// asked in that order beside those who asked before. It is asked with the hike's row
// locked. Whoever is on the hike already is left as they are, so that a list may be brought
// in twice.
func (h Hike) Bring(list, others []SignUp, now time.Time) []Brought {
	all := slices.Clone(others)
	taken, waiting := 0, 0
	count := func(s SignUp) {
		if s.HoldsPlace(now) {
			taken++
		}
		if s.State == Waiting {
			waiting++
		}
	}
	here := map[string]bool{}
	for _, o := range others {
		count(o)
		here[o.sameAs()] = o.onHike() || here[o.sameAs()]
	}
	var out []Brought
	for _, s := range list {
		b := Brought{SignUp: s, Here: here[s.sameAs()]}
		if !b.Here {
			b.Wrong = h.bringOne(&b.SignUp, all, now, taken, waiting)
		}
		if b.Added() {
			count(b.SignUp)
			all, here[s.sameAs()] = append(all, b.SignUp), true
		}
		out = append(out, b)
	}
	return out
}

func (h Hike) bringOne(s *SignUp, others []SignUp, now time.Time, taken, waiting int) error {
	if err := CheckAdult(*s, h, others); err != nil {
		return err
	}
	return h.Admit(s, now, taken, waiting)
}

// sameAs is what makes two requests the same person's: a household shares an address, and
// two people a name, but hardly both.
func (s SignUp) sameAs() string {
	return strings.ToLower(strings.Join(strings.Fields(s.Name), " ") + "\n" + strings.TrimSpace(s.Email))
}

// BroughtWhole reports whether a list may be stored: nothing of it is refused.
func BroughtWhole(list []Brought) bool {
	return !slices.ContainsFunc(list, func(b Brought) bool { return b.Wrong != nil })
}
