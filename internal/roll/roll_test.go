package roll_test

import (
	"fmt"
	"time"

	"saltbush/internal/roll"
)

// day is when the hikes of these tests start, in UTC; 13:00 is six in the morning at
// seven hours west.
var day = time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)

func clock(minutes int) time.Time { return day.Add(time.Duration(minutes) * time.Minute) }

func person(n int) roll.PersonID {
	return roll.PersonID(fmt.Sprintf("00000000-0000-4000-8000-%012d", n))
}

func people(from, to int) []roll.PersonID {
	var ids []roll.PersonID
	for n := from; n <= to; n++ {
		ids = append(ids, person(n))
	}
	return ids
}

func eventID(n int) roll.EventID {
	return roll.EventID(fmt.Sprintf("00000000-0000-4000-9000-%012d", n))
}

// roster makes n people; the first three are leader, sweep and assistant.
func roster(n int) roll.Roster {
	var r roll.Roster
	for i := 1; i <= n; i++ {
		e := roll.Entry{ID: person(i), Name: fmt.Sprintf("Walker %02d", i)}
		if i <= 3 {
			e.Staff, e.Role = true, []string{"leader", "sweep", "assistant"}[i-1]
		}
		r = append(r, e)
	}
	return r
}

// script numbers events in the order they are written.
type script struct {
	events []roll.Event
}

func (s *script) add(k roll.Kind, at int, change func(*roll.Event)) roll.EventID {
	e := roll.Event{ID: eventID(len(s.events) + 1), Kind: k, At: clock(at), By: "Walker 01", Device: "phone 1"}
	if change != nil {
		change(&e)
	}
	s.events = append(s.events, e)
	return e.ID
}

func (s *script) named(k roll.Kind, at int, ids ...roll.PersonID) roll.EventID {
	return s.add(k, at, func(e *roll.Event) { e.Persons = ids })
}

// out marks 1 to n here and takes them out at minute 65.
func (s *script) out(n int) {
	s.named(roll.KindHere, 40, people(1, n)...)
	s.add(roll.KindDeparted, 65, func(e *roll.Event) {
		e.Number, e.Persons, e.Place = n, people(1, n), "Trailhead"
	})
}

func (s *script) count(at, leader, sweep int, place string) roll.EventID {
	return s.add(roll.KindCounted, at, func(e *roll.Event) {
		e.Number, e.Sweep, e.Place = leader, sweep, place
	})
}

func kindsOf(flags []roll.Flag) map[roll.FlagKind]int {
	found := map[roll.FlagKind]int{}
	for _, f := range flags {
		found[f.Kind]++
	}
	return found
}
