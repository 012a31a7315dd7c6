package hike

import (
	"cmp"
	"slices"

	"saltbush/internal/track"
)

// Rating is the trail's difficulty.
func (t Trail) Rating() track.Rating {
	return track.Rate(t.Profile.Length, t.Profile.Ascent, t.Profile.Steepest)
}

// rank orders classes from the easiest up. Without heights the class is not known and
// counts as harder than any: no data is not easy.
func (t Trail) rank() int {
	if !t.Profile.HasElevation {
		return len(Classes())
	}
	return slices.Index(Classes(), t.Rating().Class)
}

// HarderThan reports whether the trail is of a harder class than another.
func (t Trail) HarderThan(other Trail) bool { return t.rank() > other.rank() }

// Swap is a move of a hike to another trail.
type Swap struct {
	From, To Trail
	// Harder says that its class is harder: then everybody is asked anew, and the leader
	// must be fit for it.
	Harder bool
	// Leader is why the leader may not lead there, each a part of a sentence about them;
	// nil where nothing speaks against it.
	Leader []string
	// Closed is why the trail is closed that day, "" where nothing is known.
	Closed string
}

// swap moves the hike. A forecast is a place's own: the plan is made anew from it, and
// whoever decides reads it first.
func (h *Hike) swap(s Swap) (string, error) {
	v := Invalid{}
	leader, _ := h.StaffOf(Leader)
	switch {
	case s.To.ID == 0:
		v.Add("trail", "Choose a trail.")
	case s.To.ID == h.Trail:
		v.Add("trail", "The hike is on this trail already.")
	case s.Closed != "":
		v.Add("trail", s.Closed)
	case s.Harder && len(s.Leader) > 0:
		v.Add("trail", "This trail is harder, and "+sentenceOf(leader.Name, s.Leader))
	}
	if err := v.Err(); err != nil {
		return "", err
	}
	h.Trail, h.Title = s.To.ID, TitleAfter(h.Title, s.From, s.To)
	change := s.To.Name
	if s.From.Name != "" {
		change += " instead of " + s.From.Name
	}
	if s.Harder {
		change += ", which is harder: each place waits for its person's consent"
	}
	return change, nil
}

// Alternative is a trail that a hike could move to.
type Alternative struct {
	Trail  Trail
	Harder bool
	// Drive is from trailhead to trailhead.
	Drive Drive
}

// Alternatives lists where a hike on the trail could move: those of the same or an easier
// class first, the nearest trailhead first among them.
func Alternatives(of Trail, among []Trail, roads Roads) []Alternative {
	var list []Alternative
	for _, t := range among {
		if t.ID != of.ID {
			list = append(list, Alternative{Trail: t, Harder: t.HarderThan(of), Drive: roads.Between(of.ID, t.ID)})
		}
	}
	slices.SortStableFunc(list, func(a, b Alternative) int {
		return cmp.Or(before(!a.Harder, !b.Harder), before(a.Drive.Known, b.Drive.Known), cmp.Compare(a.Drive.Takes, b.Drive.Takes))
	})
	return list
}

// before orders what is so before what is not.
func before(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}
