package party

import (
	"slices"
	"time"

	"saltbush/internal/unit"
)

// confirmBy is when people who left early count as missing, up to the minute, zero if nobody said how long
// they need. Common practice, no source: no word by twice the expected walk counts as missing.
func confirmBy(e Event) time.Time {
	if e.Minutes <= 0 {
		return time.Time{}
	}
	return unit.UpToMinute(e.At.Add(2 * minutes(e.Minutes)))
}

// addEarly notes a group that left the party early.
func (r *reducer) addEarly(e Event, people []*Person) {
	g := EarlyGroup{Left: sightingOf(e), To: e.To, By: e.By, Walk: minutes(e.Minutes)}
	for _, p := range people {
		if p.Where == WhereLeftEarly && p.by == e.ID {
			g.Persons = append(g.Persons, p.ID)
		}
	}
	g.ConfirmBy = confirmBy(e)
	if len(g.Persons) > 0 {
		r.state.Early = append(r.state.Early, g)
	}
}

// openEarly lists who of each group is not confirmed at the car yet. Whoever came back to the party
// is no longer in the group.
func (r *reducer) openEarly() {
	for i := range r.state.Early {
		g := &r.state.Early[i]
		for _, id := range g.Persons {
			if p := r.state.People[r.index[id]]; p.Where == WhereLeftEarly && p.by == g.Left.Event {
				g.Open = append(g.Open, id)
			}
		}
	}
}

// Names lists the names of people on the roll.
func (s State) Names(ids []PersonID) []string {
	var names []string
	for _, p := range s.People {
		if slices.Contains(ids, p.ID) {
			names = append(names, p.Name)
		}
	}
	return names
}
