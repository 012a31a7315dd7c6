package roll

import (
	"strings"

	"saltbush/internal/fault"
)

// Rule is asked about an event just before it is kept, with the roll as it stands then. It
// may add to the event, or refuse it with a hike.Refusal.
type Rule func(Record, Event) (Event, error)

// MayDepart holds the gate for a departure that has not happened yet: everyone who is here
// leaves, and what stands against it needs a written reason.
func MayDepart(r Record, e Event) (Event, error) {
	if e.Kind != KindDeparted {
		return e, nil
	}
	e.Persons = nil
	for _, p := range r.State().People {
		if p.Where == WhereHere {
			e.Persons = append(e.Persons, p.ID)
		}
	}
	e.Number = len(e.Persons)
	if err := e.Validate(); err != nil {
		return e, fault.Refusal("Nobody is marked here, so nobody can leave.")
	}
	g := GateOf(r, e.Route)
	e.Against = against(g)
	if blocked := g.Blocked(); blocked != "" && e.Note == "" {
		return e, fault.Refusal(blocked + " To leave all the same, write the reason.")
	}
	return e, nil
}

// NoteDeparture writes what stood against a departure that has happened already, out of
// signal: a fact is never refused.
func NoteDeparture(r Record, e Event) (Event, error) {
	if e.Kind == KindDeparted && r.State().Departed.IsZero() {
		e.Against = against(GateOf(r, e.Route))
	}
	return e, nil
}

// House judgement: as many of what stands against leaving as a line of the log takes.
const mostAgainst = 12

func against(g Gate) []string {
	var list []string
	for _, a := range g.Against() {
		if len(a) > maxLine {
			a = strings.ToValidUTF8(a[:maxLine-3], "") + "..."
		}
		if list = append(list, a); len(list) == mostAgainst {
			break
		}
	}
	return list
}

// Keep asks the rules about the events that are new, each after those before it.
func (r Record) Keep(events []Event, rules []Rule) ([]Event, error) {
	known := make(map[EventID]bool, len(r.Events))
	for _, e := range r.Events {
		known[e.ID] = true
	}
	var kept []Event
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
		kept, r.Events = append(kept, e), append(r.Events[:len(r.Events):len(r.Events)], e)
	}
	return kept, nil
}
