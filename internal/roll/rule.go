package roll

import (
	"cmp"

	"saltbush/internal/fault"
	"saltbush/internal/party"
)

// Rule is applied to an event just before it is stored, with the roll as it stands then. It
// may add to the event, or reject it with a fault.Refusal.
type Rule func(Record, party.Event) (party.Event, error)

// MayDepart checks a departure that is about to happen. Everyone who is here leaves; if a
// check blocks the departure it needs a written reason.
func MayDepart(r Record, e party.Event) (party.Event, error) {
	if e.Kind != party.KindDeparted {
		return e, nil
	}
	e.Persons = nil
	for _, p := range r.State().People {
		if p.Where == party.WhereHere {
			e.Persons = append(e.Persons, p.ID)
		}
	}
	e.Number = len(e.Persons)
	if err := Validate(e); err != nil {
		return e, fault.Refusal("Nobody is marked here, so nobody can leave.")
	}
	g := r.Gate(e.Route, e.At)
	e.Against = g.Against()
	if blocked := g.Blocked(); blocked != "" && e.Note == "" {
		return e, fault.Refusal(blocked + " To leave all the same, write the reason.")
	}
	e.Note = cmp.Or(e.Note, g.Override())
	return e, nil
}

// NoteDeparture adds to a departure the checks that would have blocked it by this roll, to those
// that the phone showed. The departure happened without signal, and a fact is never rejected.
func NoteDeparture(r Record, e party.Event) (party.Event, error) {
	if e.Kind == party.KindDeparted && r.State().Departed.IsZero() {
		g := r.Gate(e.Route, e.At)
		e.Against, e.Note = party.JoinAgainst(e.Against, g.Against()), cmp.Or(e.Note, g.Override())
	}
	return e, nil
}

// Keep returns the events that are new, with the rules applied. Each is checked against the
// roll including the ones before it.
func (r Record) Keep(events []party.Event, rules []Rule) ([]party.Event, error) {
	known := make(map[party.EventID]bool, len(r.Events))
	for _, e := range r.Events {
		known[e.ID] = true
	}
	var added []party.Event
	for _, e := range events {
		if known[e.ID] {
			continue
		}
		for _, rule := range rules {
			var err error
			if e, err = rule(r, e); err != nil {
				return nil, err
			}
		}
		known[e.ID] = true
		added = append(added, e)
		r.Events = append(r.Events[:len(r.Events):len(r.Events)], e)
	}
	return added, nil
}
