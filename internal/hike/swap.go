package hike

import (
	"saltbush/internal/fault"
	"saltbush/internal/team"
	"saltbush/internal/trail"
)

// Swap is a move of a hike to another trail.
type Swap struct {
	From, To trail.Trail
	// Harder means that its class is harder. Then everybody is asked for consent, and the
	// leader must be qualified for it.
	Harder bool
	// Leader says why the leader may not lead there, each reason a part of a sentence about
	// them; nil if they may.
	Leader []string
	// Closed says why the trail is closed that day; "" if it is not.
	Closed string
}

// swap moves the hike. The forecast was for the old trail, so the caller makes a new plan.
func (h *Hike) swap(s Swap) (string, error) {
	v := fault.Invalid{}
	leader, _ := h.StaffOf(team.Leader)
	switch {
	case s.To.ID == 0:
		v.Add("trail", "Choose a trail.")
	case s.To.ID == h.Trail:
		v.Add("trail", "The hike is on this trail already.")
	case s.Closed != "":
		v.Add("trail", s.Closed)
	case s.Harder && len(s.Leader) > 0:
		v.Add("trail", "This trail is harder, and "+team.SentenceOf(leader.Name, s.Leader))
	}
	if err := v.Err(); err != nil {
		return "", err
	}
	h.Trail, h.Title = s.To.ID, trail.TitleAfter(h.Title, s.From, s.To)
	change := s.To.Name
	if s.From.Name != "" {
		change += " instead of " + s.From.Name
	}
	if s.Harder {
		change += ", which is harder: each place waits for its person's consent"
	}
	return change, nil
}

// TrueFirst compares two conditions for sorting: the one that is true comes first.
func TrueFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}
