package roll_test

import (
	"cmp"
	"slices"
	"testing"

	"saltbush/internal/roll"
)

// long is a day of 20 people and n events: a roll call, a departure and counts, delays
// and messages, as two phones deliver them.
func long(n int) []roll.Event {
	var s script
	for i := 1; i <= 20; i++ {
		s.named(roll.KindHere, i, person(i))
	}
	s.add(roll.KindDeparted, 65, func(e *roll.Event) { e.Number, e.Persons = 20, people(1, 20) })
	for at := 66; len(s.events) < n; at++ {
		switch at % 3 {
		case 0:
			s.count(at, 20, 0, "Wash")
		case 1:
			s.count(at, 0, 20, "Wash")
			s.events[len(s.events)-1].By = "Walker 02"
		case 2:
			s.add(roll.KindReported, at, func(e *roll.Event) { e.Note = "fine" })
		}
	}
	slices.Reverse(s.events)
	return s.events
}

var sink int

func BenchmarkFold20x200(b *testing.B) {
	r, events := roster(20), long(200)
	b.ReportAllocs()
	for b.Loop() {
		sink += roll.Fold(r, events).Expected
	}
}

// BenchmarkFloor20x200 is the least that any fold must do: copy and sort the events, look
// at every person at every event.
func BenchmarkFloor20x200(b *testing.B) {
	r, events := roster(20), long(200)
	b.ReportAllocs()
	for b.Loop() {
		sorted := slices.Clone(events)
		slices.SortFunc(sorted, func(x, y roll.Event) int {
			return cmp.Or(x.At.Compare(y.At), cmp.Compare(x.ID, y.ID))
		})
		for range sorted {
			for i := range r {
				sink += len(r[i].ID)
			}
		}
	}
}
