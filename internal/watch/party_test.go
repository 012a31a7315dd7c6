package watch_test

import (
	"slices"
	"testing"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// Help is called after half an hour instead of an hour where the people who really left
// make delay costly, and that is read off the roll.
func TestWhoWalksDecidesTheWait(t *testing.T) {
	absent := func(n int) party.Event { return event(n+2, party.KindAbsent, at(6, 20), person(n)) }
	left := func(ns ...int) party.Event {
		e := event(1, party.KindDeparted, at(6, 30))
		for _, n := range ns {
			e.Persons = append(e.Persons, person(n))
		}
		e.Number = len(ns)
		return e
	}
	for _, c := range []struct {
		name   string
		change func(party.Roster)
		events []party.Event
		want   string // the reason for the short wait, "" for none
	}{
		{"four adults", nil, []party.Event{left(1, 2, 3, 4)}, ""},
		{"one of them did not come", nil, []party.Event{absent(4), left(1, 2, 3)}, "fewer than four adults walk"},
		{"one of them was sent home", nil, []party.Event{event(6, party.KindTurnedAway, at(6, 20), person(4)), left(1, 2, 3)}, "fewer than four adults walk"},
		{"a minor among five", func(r party.Roster) { r[3].Minor = true }, []party.Event{left(1, 2, 3, 4)}, "a minor is in the group"},
		{"the minor did not come", func(r party.Roster) { r[3].Minor = true }, []party.Event{absent(4), left(1, 2, 3)}, "fewer than four adults walk"},
		{"somebody with a card", func(r party.Roster) { r[2].ActionLine = true }, []party.Event{left(1, 2, 3, 4)}, "someone in the group has a medical card"},
		{"nobody reported the departure", nil, nil, ""},
		{"a number without names", nil, []party.Event{{ID: "00000000-0000-4000-9000-000000000001", Kind: party.KindDeparted, At: at(6, 30), By: "Lee Example", Number: 4}}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			list := party.Roster{}
			for n := 1; n <= 4; n++ {
				list = append(list, party.Entry{ID: person(n), Name: "Person"})
			}
			if c.change != nil {
				c.change(list)
			}
			p := plan.Plan{}
			p.Time.P50, p.Time.P90 = plan.Seconds(4*3600), plan.Seconds(5*3600)
			h := hike.Hike{ID: 7, Start: at(6, 30), State: hike.Out}
			got := watch.CaseOf(roll.Watched{Record: roll.Record{Hike: h, Roster: list, Events: c.events}, Plan: &p}, nil)
			if c.want == "" && len(got.Times.Why) > 0 || c.want != "" && !slices.Contains(got.Times.Why, c.want) {
				t.Errorf("why %q, want %q", got.Times.Why, c.want)
			}
			wait, want := got.Times.Call.Sub(got.Times.Watch).Minutes(), 60.0
			if c.want != "" {
				want = 30
			}
			if wait != want {
				t.Errorf("help is called %v min after the watch time, want %v", wait, want)
			}
		})
	}
}
