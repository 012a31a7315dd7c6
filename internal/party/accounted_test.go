package party_test

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"saltbush/internal/party"
)

func TestNumbersNameNobody(t *testing.T) {
	at := time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)
	id := func(n string) party.PersonID { return party.PersonID("5a17b054-0000-4000-8000-00000000000" + n) }
	event := func(n string, k party.Kind, after time.Duration, persons ...party.PersonID) party.Event {
		return party.Event{ID: party.EventID("6b17b054-0000-4000-8000-00000000000" + n), Kind: k, At: at.Add(after),
			By: "Ines", Persons: persons, Place: "trailhead", Name: "Wren"}
	}
	roster := party.Roster{{ID: id("1"), Name: "Ines", Staff: true, Role: "leader"},
		{ID: id("2"), Name: "Amaya", Plate: "ABC-1"}, {ID: id("3"), Name: "Bashir", Plate: "ABC-1"},
		{ID: id("4"), Name: "Lotte"}}
	left := event("1", party.KindDeparted, 0, id("1"), id("2"), id("3"))
	back := event("2", party.KindBack, 3*time.Hour, id("1"), id("2"))
	last := event("3", party.KindBack, 3*time.Hour+time.Minute, id("3"))
	planned := party.Numbers{Walkers: 3, Staff: 1, Cars: 1}
	out := planned
	out.Departed, out.Out = at, 3
	home := out
	home.Back = last.At
	for _, tt := range []struct {
		name   string
		events []party.Event
		want   party.Numbers
	}{
		{"planned", nil, planned},
		{"out", []party.Event{left}, out},
		{"one still out", []party.Event{left, back}, out},
		{"back", []party.Event{event("4", party.KindAbsent, -time.Minute, id("4")), left, back, last}, home},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := party.Fold(roster, tt.events).Numbers(roster); got != tt.want {
				t.Errorf("%+v, want %+v", got, tt.want)
			}
		})
	}
}

// longDay returns n events of a day with 20 people, the latest first: a roll call, a
// departure, counts by two phones, and messages.
func longDay(n int) []party.Event {
	var s script
	for i := 1; i <= 20; i++ {
		s.Named(party.KindHere, i, person(i))
	}
	s.Add(party.KindDeparted, 65, func(e *party.Event) { e.Number, e.Persons = 20, people(1, 20) })
	for at := 66; len(s.Events) < n; at++ {
		switch at % 3 {
		case 0:
			s.Count(at, 20, 0, "Wash")
		case 1:
			s.Count(at, 0, 20, "Wash")
			s.Events[len(s.Events)-1].By = "Walker 02"
		case 2:
			s.Add(party.KindReported, at, func(e *party.Event) { e.Note = "fine" })
		}
	}
	slices.Reverse(s.Events)
	return s.Events
}

var sink int

func BenchmarkFold20x200(b *testing.B) {
	r, events := roster(20), longDay(200)
	b.ReportAllocs()
	for b.Loop() {
		sink += party.Fold(r, events).Expected
	}
}

// BenchmarkFloor20x200 does the least that any fold must do: copy and sort the events, and
// look at every person for every event.
func BenchmarkFloor20x200(b *testing.B) {
	r, events := roster(20), longDay(200)
	b.ReportAllocs()
	for b.Loop() {
		sorted := slices.Clone(events)
		slices.SortFunc(sorted, func(x, y party.Event) int {
			return cmp.Or(x.At.Compare(y.At), cmp.Compare(x.ID, y.ID))
		})
		for range sorted {
			for i := range r {
				sink += len(r[i].ID)
			}
		}
	}
}
