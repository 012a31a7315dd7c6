package roll_test

import (
	"testing"
	"time"

	"saltbush/internal/roll"
)

func TestNumbersNameNobody(t *testing.T) {
	at := time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)
	id := func(n string) roll.PersonID { return roll.PersonID("5a17b054-0000-4000-8000-00000000000" + n) }
	event := func(n string, k roll.Kind, after time.Duration, persons ...roll.PersonID) roll.Event {
		return roll.Event{ID: roll.EventID("6b17b054-0000-4000-8000-00000000000" + n), Kind: k, At: at.Add(after), By: "Ines", Persons: persons, Place: "trailhead", Name: "Wren"}
	}
	roster := roll.Roster{{ID: id("1"), Name: "Ines", Staff: true, Role: "leader"}, {ID: id("2"), Name: "Amaya", Plate: "ABC-1"}, {ID: id("3"), Name: "Bashir", Plate: "ABC-1"}, {ID: id("4"), Name: "Lotte"}}
	left := event("1", roll.KindDeparted, 0, id("1"), id("2"), id("3"))
	back := event("2", roll.KindBack, 3*time.Hour, id("1"), id("2"))
	last := event("3", roll.KindBack, 3*time.Hour+time.Minute, id("3"))
	planned := roll.Numbers{Walkers: 3, Staff: 1, Cars: 1}
	out := planned
	out.Departed, out.Out = at, 3
	home := out
	home.Back = last.At
	for _, tt := range []struct {
		name   string
		events []roll.Event
		want   roll.Numbers
	}{
		{"planned", nil, planned},
		{"out", []roll.Event{left}, out},
		{"one still out", []roll.Event{left, back}, out},
		{"back", []roll.Event{event("4", roll.KindAbsent, -time.Minute, id("4")), left, back, last}, home},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := roll.NumbersOf(roll.Record{Roster: roster, Events: tt.events}); got != tt.want {
				t.Errorf("%+v, want %+v", got, tt.want)
			}
		})
	}
}
