package web_test

import (
	"fmt"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/roll"
	"saltbush/internal/rules"
	"saltbush/internal/unit"
	"saltbush/internal/watch"
)

// byHand works out the four clocks of a plain hike, with four adults or more, without package
// watch: the departure on record, the plan's two durations, the delays, light and water.
func byHand(
	h hike.Hike, p plan.Plan, card bool, events []party.Event,
) (expected, latest, watch, call time.Time) {
	left, delay := h.Start, time.Duration(0)
	for _, e := range events {
		switch e.Kind {
		case party.KindDeparted:
			left = e.At
		case party.KindDelayed:
			delay += time.Duration(e.Minutes) * time.Minute
		}
	}
	expected = nextMinute(left.Add(p.Time.P50.Duration() + delay))
	latest = nextMinute(left.Add(p.Time.P90.Duration() + delay))
	watch = latest
	wait, urgent := h.Rules().CallAfter, h.Rules().UrgentAfter
	if p.Heat.PeakAir >= h.Rules().HotDay || card {
		wait = urgent
	}
	limits := []time.Time{p.Sun.CivilDusk.Time}
	if rate := p.Water.Drink.LitresPerHour(); rate > 0 {
		hours := p.Water.Carry.Litres() / rate
		limits = append(limits, left.Add(time.Duration(hours*float64(time.Hour))))
	}
	for i := range limits {
		limits[i] = limits[i].Truncate(time.Minute)
	}
	for _, l := range limits {
		if l.After(h.Start) && l.Before(watch) {
			watch = later(l, left)
		}
	}
	call = watch.Add(wait)
	for _, l := range limits {
		if soonest := later(l, watch.Add(urgent)); l.After(h.Start) && soonest.Before(call) {
			call = soonest
		}
	}
	return expected, latest, watch, call
}

func nextMinute(t time.Time) time.Time { return t.Add(time.Minute - 1).Truncate(time.Minute) }

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// wrongByHand compares the case of a plain hike with what a person works out on paper.
func (p *played) wrongByHand(c watch.Case) []string {
	if !p.plain || len(c.Roster) < 4 || len(c.Alarms()) > 0 {
		return nil
	}
	card := false
	for _, e := range c.Roster {
		card = card || e.ActionLine
	}
	k := c.Clocks()
	expected, latest, watch, call := byHand(c.Hike, *c.Plan, card, c.Events)
	if !k.Expected.Equal(expected) || !k.Latest.Equal(latest) || !k.Watch.Equal(watch) || !k.Call.Equal(call) {
		return []string{fmt.Sprintf("back %v to %v, watch %v, call %v; by hand %v to %v, %v, %v",
			k.Expected, k.Latest, k.Watch, k.Call, expected, latest, watch, call)}
	}
	return nil
}

// A hike that is planned to leave at 06:00 takes two hours, nine in ten three. Each line is worked
// out on paper.
func TestClocksByHand(t *testing.T) {
	t.Parallel()
	at := func(clock string) time.Time {
		t.Helper()
		x, err := time.Parse("2006-01-02 15:04", "2027-05-09 "+clock)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	for _, tt := range []struct {
		name, left, dusk      string
		delay                 int
		litres, air           float64
		expected, watch, call string
	}{
		{name: "not reported", expected: "08:00", watch: "09:00", call: "10:00"},
		{name: "left late", left: "06:20", expected: "08:20", watch: "09:20", call: "10:20"},
		{name: "left early", left: "05:50", expected: "07:50", watch: "08:50", call: "09:50"},
		{name: "a delay", left: "06:20", delay: 30, expected: "08:50", watch: "09:50", call: "10:50"},
		{name: "a hot day", left: "06:00", air: 40, expected: "08:00", watch: "09:00", call: "09:30"},
		{name: "dark before the watch time", left: "06:20", dusk: "09:10",
			expected: "08:20", watch: "09:10", call: "09:40"},
		{name: "dark before the call", left: "06:20", dusk: "10:00", expected: "08:20", watch: "09:20", call: "10:00"},
		{name: "dark just after the watch time", left: "06:20", dusk: "09:30",
			expected: "08:20", watch: "09:20", call: "09:50"},
		{name: "water for three and a half hours, from a departure an hour late", left: "07:00", litres: 1.75,
			expected: "09:00", watch: "10:00", call: "10:30"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := hike.Hike{ID: 1, Start: at("06:00"), State: hike.Posted, House: rules.DefaultRules()}
			var p plan.Plan
			p.Time.P50, p.Time.P90 = plan.Seconds(2*3600), plan.Seconds(3*3600)
			p.Heat.PeakAir, p.Water.Drink = unit.Celsius(max(tt.air, 25)), unit.Flow(0.5)
			if tt.dusk != "" {
				p.Sun.CivilDusk = plan.Instant{Time: at(tt.dusk)}
			}
			if p.Water.Carry = unit.Volume(tt.litres) * unit.Litre; tt.litres == 0 {
				p.Water.Drink = 0
			}
			rec := roll.Record{Hike: h, Roster: party.Roster{{ID: "a"}, {ID: "b"}, {ID: "c"}, {ID: "d"}}}
			if tt.left != "" {
				ids := []party.PersonID{"a", "b", "c", "d"}
				left := party.Event{ID: "1", Kind: party.KindDeparted, At: at(tt.left), By: "Leader", Persons: ids}
				left.Number = len(ids)
				rec.Events = append(rec.Events, left)
			}
			if tt.delay > 0 {
				rec.Events = append(rec.Events,
					party.Event{ID: "2", Kind: party.KindDelayed, At: at("07:00"), By: "Leader", Minutes: tt.delay})
			}
			k := watch.CaseOf(roll.Watched{Record: rec, Plan: &p}, nil).Clocks()
			got := fmt.Sprint(k.Expected.Format("15:04"), k.Watch.Format(" 15:04"), k.Call.Format(" 15:04"))
			if want := tt.expected + " " + tt.watch + " " + tt.call; got != want {
				t.Errorf("back, watch, call %s; by hand %s", got, want)
			}
			expected, latest, watch, call := byHand(h, p, false, rec.Events)
			if !k.Expected.Equal(expected) || !k.Latest.Equal(latest) || !k.Watch.Equal(watch) ||
				!k.Call.Equal(call) {
				t.Errorf("byHand gives %v to %v, %v, %v", expected, latest, watch, call)
			}
		})
	}
}
