package watch_test

import (
	"slices"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/privacy"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// windowCase is a hike that left at start, with a plan of two to three hours or none.
func windowCase(state hike.State, planned bool, start time.Time, log ...watch.Logged) watch.Case {
	c := watch.Case{Promised: planned, Log: log}
	c.Hike = hike.Hike{State: state, Meet: start.Add(-time.Hour), Start: start}
	c.State.Departed = start
	c.State.People = []party.Person{{Entry: party.Entry{ID: "a", Name: "Amaya"}, Where: party.WhereOut}}
	c.Times = watch.Times{Start: start, Expected: start.Add(2 * time.Hour), Watch: start.Add(3 * time.Hour),
		Widen: start.Add(210 * time.Minute), Call: start.Add(4 * time.Hour), DepartureConfirmed: true}
	return c
}

func TestWindowOfAWatch(t *testing.T) {
	start := time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		name    string
		state   hike.State
		planned bool
		after   time.Duration
		want    privacy.Window
	}{
		{"just left", hike.Out, true, time.Minute, privacy.Window{Day: true, Watched: true}},
		{"after the watch time", hike.Out, true, 3 * time.Hour, privacy.Window{Day: true, Watched: true, Alarm: true}},
		{"left without a plan", hike.Out, false, time.Minute, privacy.Window{Day: true, Watched: true, Alarm: true}},
		{"called off", hike.CalledOff, true, 5 * time.Hour, privacy.Window{}},
		{"closed", hike.Closed, true, 5 * time.Hour, privacy.Window{Day: true}},
		{"closed for long", hike.Closed, true, 100 * time.Hour, privacy.Window{}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := windowCase(tt.state, tt.planned, start).Window(start.Add(tt.after)); got != tt.want {
				t.Errorf("%+v, want %+v", got, tt.want)
			}
		})
	}
	t.Run("not left, the evening before", func(t *testing.T) {
		c := windowCase(hike.Posted, true, start)
		c.State.Departed, c.Times.DepartureConfirmed = time.Time{}, false
		if got, want := c.Window(start.Add(-12*time.Hour)), (privacy.Window{Day: true}); got != want {
			t.Errorf("%+v, want %+v", got, want)
		}
	})
}

func TestWhoTookTheAlarm(t *testing.T) {
	start := time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)
	early := watch.Logged{Kind: watch.LogAcknowledged, By: "Early Bird", At: start.Add(time.Hour)}
	took := watch.Logged{Kind: watch.LogAcknowledged, By: "Petra", At: start.Add(3*time.Hour + time.Minute)}
	wrote := watch.Logged{Kind: watch.LogNote, By: "Writer", At: start.Add(3*time.Hour + time.Minute)}
	c := windowCase(hike.Out, true, start, early, took, wrote)
	for name, want := range map[string]bool{"Petra": true, "Early Bird": false, "Writer": false, "": false} {
		if got := c.Took(name, start.Add(200*time.Minute)); got != want {
			t.Errorf("%q took it: %v, want %v", name, got, want)
		}
	}
	if c.Took("Petra", start.Add(2*time.Hour)) {
		t.Error("taken before the alarm began")
	}
}

// Help is called after half an hour instead of an hour if the people who really left, by the
// roll, make it urgent.
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
		{"one of them was sent home", nil, []party.Event{event(6, party.KindTurnedAway, at(6, 20), person(4)),
			left(1, 2, 3)}, "fewer than four adults walk"},
		{"a minor among five", func(r party.Roster) { r[3].Minor = true }, []party.Event{left(1, 2, 3, 4)},
			"a minor is in the group"},
		{"the minor did not come", func(r party.Roster) { r[3].Minor = true }, []party.Event{absent(4), left(1, 2, 3)},
			"fewer than four adults walk"},
		{"somebody with a card", func(r party.Roster) { r[2].ActionLine = true }, []party.Event{left(1, 2, 3, 4)},
			"someone in the group has a medical card"},
		{"nobody reported the departure", nil, nil, ""},
		{"a number without names", nil, []party.Event{{ID: "00000000-0000-4000-9000-000000000001",
			Kind: party.KindDeparted, At: at(6, 30), By: "Lee Example", Number: 4}}, ""},
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
			got := watch.CaseOf(roll.Watched{Record: roll.Record{Hike: h, Roster: list, Events: c.events}, Plan: &p},
				nil)
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
