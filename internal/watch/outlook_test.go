package watch_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/party"
	"saltbush/internal/watch"
)

// alongTheWay is a promise of 4 h from 6:30, with a junction at a quarter of the walk that is
// passed again at three quarters, and the goal at half.
func alongTheWay() watch.Promise {
	p := watch.Promise{Scheduled: at(6, 30), P50: 4 * time.Hour, Adults: 8}
	p.P90 = time.Duration(float64(p.P50) * spread)
	p.Points = []watch.Point{
		{Name: "Notch Junction", Along: 2000, Share: 0.25, BackShare: 0.75},
		{Name: "Far Rim", Along: 4000, Share: 0.5},
	}
	return p
}

func counted(n int, when time.Time, place string) party.Event {
	e := event(n, party.KindCounted, when)
	e.Number, e.Sweep, e.Place = 4, 4, place
	return e
}

func stopped(n int, when time.Time, minutes int) party.Event {
	e := event(n, party.KindDelayed, when)
	e.Minutes, e.Note = minutes, "thunder"
	return e
}

func TestOutlook(t *testing.T) {
	tests := []struct {
		name      string
		events    []party.Event
		lo, hi    time.Time // the likely return lies between
		from      string
		narrower  bool // than the promise
		watchAt   time.Time
		concerned bool // at 09:40
	}{
		{"departure alone", nil, at(10, 30), at(10, 30), "", false, at(11, 40), false},
		{"on time at the junction", []party.Event{counted(2, at(7, 30), "Notch Junction")}, at(10, 28), at(10, 36),
			"Notch Junction", true, at(11, 40), false},
		{"on time at the rim", []party.Event{counted(2, at(8, 30), "far rim ")}, at(10, 28), at(10, 32), "far rim ",
			true, at(11, 40), false},
		{"slow at the rim", []party.Event{counted(2, at(9, 30), "Far Rim")}, at(12, 0), at(12, 30), "Far Rim", true,
			at(11, 40), true},
		{"fast at the rim", []party.Event{counted(2, at(8, 0), "Far Rim")}, at(9, 25), at(9, 45), "Far Rim", true,
			at(11, 40), false},
		{"junction again on the way back", []party.Event{counted(2, at(7, 30), "Notch Junction"),
			counted(3, at(8, 30), "Far Rim"), counted(4, at(9, 30), "Notch Junction")},
			at(10, 28), at(10, 32), "Notch Junction", true, at(11, 40), false},
		{"way back known by the clock alone", []party.Event{counted(2, at(9, 30), "Notch Junction")}, at(10, 28),
			at(10, 32), "Notch Junction", true, at(11, 40), false},
		{"slow on the way out is not the way back", []party.Event{counted(2, at(7, 50), "Notch Junction")}, at(11, 0),
			at(11, 50), "Notch Junction", true, at(11, 40), false},
		{"place by its distance",
			[]party.Event{func() party.Event {
				e := counted(2, at(8, 30), "big rock")
				e.Along = 4100
				return e
			}()},
			at(10, 28), at(10, 32), "big rock", true, at(11, 40), false},
		{"place that the plan does not know", []party.Event{counted(2, at(8, 30), "big rock")}, at(10, 30), at(10, 30),
			"", false, at(11, 40), false},
		{"a slip: the rim after half an hour", []party.Event{counted(2, at(7, 0), "Far Rim")}, at(10, 30), at(10, 30),
			"", false, at(11, 40), false},
		{"count of a later moment", []party.Event{counted(2, at(9, 50), "Far Rim")}, at(10, 30), at(10, 30), "", false,
			at(11, 40), false},
		{"reported delay", []party.Event{stopped(2, at(7, 0), 40)}, at(11, 10), at(11, 10), "", false, at(12, 20),
			false},
		{"delay before the count is not pace", []party.Event{stopped(2, at(7, 0), 40),
			counted(3, at(9, 10), "Far Rim")}, at(11, 8), at(11, 12), "Far Rim", true, at(12, 20), false},
		{"delay after the count lies ahead", []party.Event{counted(2, at(8, 30), "Far Rim"), stopped(3, at(8, 45), 40)},
			at(11, 8), at(11, 12), "Far Rim", true, at(12, 20), false},
		{"a count within the stop says nothing", []party.Event{stopped(2, at(8, 20), 40),
			counted(3, at(8, 30), "Far Rim")}, at(11, 10), at(11, 10), "", false, at(12, 20), false},
	}
	p, now := alongTheWay(), at(9, 40)
	plain := watch.CurrentEstimate(p, fold(departed()), now)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := fold(append([]party.Event{departed()}, tt.events...)...)
			o := watch.CurrentEstimate(p, s, now)
			if o.Likely.Before(tt.lo.Add(-time.Second)) || o.Likely.After(tt.hi.Add(time.Second)) {
				t.Errorf("likely return %s, want %s to %s", o.Likely.In(utc7).Format("15:04:05"), tt.lo.Format("15:04"),
					tt.hi.Format("15:04"))
			}
			from := ""
			if o.From != nil {
				from = o.From.Place
			}
			if from != tt.from {
				t.Errorf("read from %q, want %q", from, tt.from)
			}
			if narrower := o.Late.Sub(o.Early) < plain.Late.Sub(plain.Early); narrower != tt.narrower {
				t.Errorf("range %s to %s narrower than the promise: %v", o.Early, o.Late, narrower)
			}
			times := watch.TimesFor(p, s)
			near(t, "watch time", times.Watch, tt.watchAt.Add(time.Minute)) // up to the whole minute
			if got := o.Concern(times, now) != ""; got != tt.concerned {
				t.Errorf("concern %q", o.Concern(times, now))
			}
		})
	}
}

func TestOutlookLaterThanTheirOwnPaceExplains(t *testing.T) {
	p, s := alongTheWay(), fold(departed(), counted(2, at(8, 0), "Far Rim"))
	times := watch.TimesFor(p, s)
	if got := watch.CurrentEstimate(p, s, at(9, 0)).Concern(times, at(9, 0)); got != "" {
		t.Errorf("concern at nine: %q", got)
	}
	o := watch.CurrentEstimate(p, s, at(11, 0))
	if got := o.Concern(times, at(11, 0)); got == "" {
		t.Errorf("no concern at 11:00 though nine in ten at that pace are back by %s", o.Late)
	}
	if got := o.Concern(times, at(12, 0)); got != "" {
		t.Errorf("concern past the watch time, where the ladder speaks: %q", got)
	}
}

func TestOutlookAgreesWithThePromiseWhereNothingIsCounted(t *testing.T) {
	p := alongTheWay()
	s := fold(departed(), stopped(2, at(7, 0), 20))
	for _, now := range []time.Time{at(7, 0), at(10, 30), at(11, 0), at(12, 0)} {
		got := watch.CurrentEstimate(p, s, now).StillNormal(now)
		want := p.StillNormal(now.Sub(at(6, 30)) - 20*time.Minute)
		if math.Abs(float64(got-want)) > 1e-6 {
			t.Errorf("still normal at %s: %.6f, want %.6f", now.Format("15:04"), float64(got), float64(want))
		}
	}
}

// After a split the slowest group decides.
func TestOutlookOfASplitIsThatOfTheSlowerParty(t *testing.T) {
	split := event(2, party.KindSplit, at(7, 35))
	split.Place = "Notch Junction"
	split.Parties = []party.Part{{Name: "fast", Staff: everyone()[:1], Persons: everyone()[2:3], Number: 2},
		{Name: "slow", Staff: everyone()[1:2], Persons: everyone()[3:], Number: 2}}
	party := func(n int, when time.Time, name string) party.Event {
		e := counted(n, when, "Far Rim")
		e.Party, e.Number, e.Sweep = name, 2, 0
		return e
	}
	s := fold(departed(), split, party(3, at(8, 10), "fast"), party(4, at(9, 0), "slow"))
	o := watch.CurrentEstimate(alongTheWay(), s, at(9, 30))
	if o.From == nil || o.From.Party != "slow" || o.Likely.Before(at(11, 0)) {
		t.Errorf("outlook from %+v, likely %s; want that of the slow party", o.From, o.Likely)
	}
}

func TestOutlookIsUnknownWithoutASpread(t *testing.T) {
	p := plain()
	p.P90 = p.P50
	if o := watch.CurrentEstimate(p, fold(departed()), at(9, 0)); o.Known() || o.StillNormal(at(9, 0)) != 0 {
		t.Errorf("outlook %+v of a promise without a spread", o)
	}
}

// Silence does not move the outlook, and a delay moves it by what was reported. Neither
// counts nor the passing of time move the times that people were told.
func TestOutlookMovesOnlyByWhatIsHeard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := alongTheWay()
		minute := func(name string, lo, hi int) time.Time {
			return at(6, 30).Add(time.Duration(rapid.IntRange(lo, hi).Draw(t, name)) * time.Minute)
		}
		events := []party.Event{departed(), counted(2, minute("junction", 20, 120), "Notch Junction"),
			counted(3, minute("rim", 60, 200), "Far Rim")}
		s := fold(events...)
		now, later := minute("now", 200, 300), minute("later", 300, 600)
		a, b := watch.CurrentEstimate(p, s, now), watch.CurrentEstimate(p, s, later)
		if !a.Likely.Equal(b.Likely) || !a.Late.Equal(b.Late) || a.StillNormal(later) > a.StillNormal(now) {
			t.Fatalf("silence moved the outlook from %v to %v", a, b)
		}
		if quiet := fold(departed()); !watch.TimesFor(p, s).Watch.Equal(watch.TimesFor(p, quiet).Watch) ||
			!watch.TimesFor(p, s).Call.Equal(watch.TimesFor(p, quiet).Call) {
			t.Fatal("a count moved a time that people were told")
		}
		by := rapid.IntRange(1, 90).Draw(t, "delay")
		reported := watch.CurrentEstimate(p, fold(append(events, stopped(4, minute("told", 201, 250), by))...), later)
		if moved := reported.Likely.Sub(a.Likely); (moved - time.Duration(by)*time.Minute).Abs() > time.Second {
			t.Fatalf("a delay of %d min moved the likely return by %v", by, moved)
		}
	})
}
