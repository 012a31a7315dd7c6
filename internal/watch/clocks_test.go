package watch_test

import (
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// turning is the case of a hike planned for 06:30, with a turnaround.
func turning(turn time.Time, because string, events ...party.Event) watch.Case {
	p := plan.Plan{}
	p.Time.P50, p.Time.P90 = plan.Seconds(4*3600), plan.Seconds(5*3600)
	p.Turnaround = plan.Turnaround{At: plan.Instant{Time: turn}, Because: because}
	h := hike.Hike{ID: 7, Start: at(6, 30), State: hike.Out}
	return watch.CaseOf(roll.Watched{Record: roll.Record{Hike: h, Roster: roster, Events: events}, Plan: &p}, nil)
}

// A turnaround never moves later, moves with the water of an early start, never lies after the likely
// return, and is none at all if it is over before the party leaves.
func TestTurnaroundOfTheCase(t *testing.T) {
	leftAt := func(h, m int) party.Event {
		e := departed()
		e.At = at(h, m)
		return e
	}
	for _, tt := range []struct {
		name    string
		c       watch.Case
		want    time.Time
		because string
	}{
		{"as planned", turning(at(9, 0), "water: half is drunk", leftAt(6, 30)), at(9, 0), "water"},
		{"left late: the limit stands", turning(at(9, 0), "daylight", leftAt(7, 10)), at(9, 0), "daylight"},
		{"left early: the water with them", turning(at(9, 0), "water: half is drunk", leftAt(6, 10)), at(8, 40),
			"water"},
		{"after the likely return", turning(at(16, 0), "daylight", leftAt(6, 30)), at(9, 0), "half of the time"},
		{"before the start", turning(at(6, 20), "heat", leftAt(6, 30)), time.Time{}, "before the start"},
	} {
		k := tt.c.Clocks()
		if !k.Turn.Equal(tt.want) || !strings.Contains(k.TurnBecause, tt.because) {
			t.Errorf("%s: turn %v because of %q; want %v, %q", tt.name, k.Turn, k.TurnBecause, tt.want, tt.because)
		}
	}
}

// Clocks are told on whole minutes, rounded up: never earlier than what was promised.
func TestClocksAreWholeMinutes(t *testing.T) {
	late := departed()
	late.At = at(6, 30).Add(20 * time.Second)
	k := turning(at(9, 0), "daylight", late).Clocks()
	if !k.Watch.Equal(at(11, 31)) || !k.Expected.Equal(at(10, 31)) {
		t.Errorf("expected %v, watch %v; want 10:31 and 11:31", k.Expected, k.Watch)
	}
}

// Dark moves the watch, never the return that people are told.
func TestDarkMovesTheWatchAndNotTheReturn(t *testing.T) {
	p := plan.Plan{}
	p.Time.P50, p.Time.P90 = plan.Seconds(4*3600), plan.Seconds(5*3600)
	p.Sun.CivilDusk = plan.Instant{Time: at(9, 47)}
	h := hike.Hike{ID: 7, Start: at(6, 30), State: hike.Posted}
	k := watch.CaseOf(roll.Watched{Record: roll.Record{Hike: h, Roster: roster}, Plan: &p}, nil).Clocks()
	if !k.Expected.Equal(at(10, 30)) || !k.Latest.Equal(at(11, 30)) {
		t.Errorf("back between %v and %v, want 10:30 and 11:30", k.Expected, k.Latest)
	}
	if !k.Watch.Equal(at(9, 47)) || k.WatchBecause != "darkness" {
		t.Errorf("the watch begins at %v because of %q, want 09:47 and darkness", k.Watch, k.WatchBecause)
	}
}
