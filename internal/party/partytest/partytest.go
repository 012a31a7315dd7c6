// Package partytest makes people, rosters and events for tests of rolls.
package partytest

import (
	"fmt"
	"time"

	"saltbush/internal/party"
)

// start is minute zero of the tests' hikes: six in the morning, seven hours west of
// Greenwich.
var start = time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)

// Clock returns the instant so many minutes into the day.
func Clock(minutes int) time.Time { return start.Add(time.Duration(minutes) * time.Minute) }

// Person returns the ID of the nth person of Roster.
func Person(n int) party.PersonID {
	return party.PersonID(fmt.Sprintf("00000000-0000-4000-8000-%012d", n))
}

// People returns the IDs of the people from one number to another, both included.
func People(from, to int) []party.PersonID {
	var ids []party.PersonID
	for n := from; n <= to; n++ {
		ids = append(ids, Person(n))
	}
	return ids
}

// EventID returns the ID of the nth event of a Script.
func EventID(n int) party.EventID {
	return party.EventID(fmt.Sprintf("00000000-0000-4000-9000-%012d", n))
}

// Roster returns n people. The first three are the leader, the sweep and an assistant.
func Roster(n int) party.Roster {
	var r party.Roster
	for i := 1; i <= n; i++ {
		e := party.Entry{ID: Person(i), Name: fmt.Sprintf("Walker %02d", i)}
		if i <= 3 {
			e.Staff, e.Role = true, []string{"leader", "sweep", "assistant"}[i-1]
		}
		r = append(r, e)
	}
	return r
}

// Script is a list of events, numbered in the order in which they are added.
type Script struct {
	Events []party.Event
}

// Add adds an event at a minute, recorded by the leader unless change says otherwise. It
// returns the event's ID.
func (s *Script) Add(k party.Kind, at int, change func(*party.Event)) party.EventID {
	e := party.Event{ID: EventID(len(s.Events) + 1), Kind: k, At: Clock(at), By: "Walker 01", Device: "phone 1"}
	if change != nil {
		change(&e)
	}
	s.Events = append(s.Events, e)
	return e.ID
}

// Named adds an event about people by name.
func (s *Script) Named(k party.Kind, at int, ids ...party.PersonID) party.EventID {
	return s.Add(k, at, func(e *party.Event) { e.Persons = ids })
}

// Out marks the people 1 to n as here and takes them out at minute 65.
func (s *Script) Out(n int) {
	s.Named(party.KindHere, 40, People(1, n)...)
	s.Add(party.KindDeparted, 65, func(e *party.Event) {
		e.Number, e.Persons, e.Place = n, People(1, n), "Trailhead"
	})
}

// Count adds a headcount with the numbers of the leader and the sweep.
func (s *Script) Count(at, leader, sweep int, place string) party.EventID {
	return s.Add(party.KindCounted, at, func(e *party.Event) {
		e.Number, e.Sweep, e.Place = leader, sweep, place
	})
}

// FlagKinds counts flags by their kind.
func FlagKinds(flags []party.Flag) map[party.FlagKind]int {
	counts := map[party.FlagKind]int{}
	for _, f := range flags {
		counts[f.Kind]++
	}
	return counts
}
