package watch

import (
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/unit"
)

// Times are the instants of one watch.
type Times struct {
	// Start is the departure on record, or the scheduled one if there is none.
	Start time.Time
	// DepartureConfirmed means that Start is on record.
	DepartureConfirmed bool
	// Half of such parties are back by Expected, nine in ten by Latest. At Watch on-call starts
	// asking, at Widen asks more widely, at Call calls for help.
	Expected, Latest, Watch, Widen, Call time.Time
	// WatchBecause names the limit that Watch was moved up to: "darkness". It is "" if it was not.
	WatchBecause string
	// Trouble is when help was asked for, zero for never.
	Trouble time.Time
	// Why lists, in words, what makes Watch or Call earlier than usual.
	Why []string
}

// TimesOf returns the instants for a departure, zero if none is on record, and for the delay
// that staff have reported.
func TimesOf(p Promise, departed time.Time, delay time.Duration) Times {
	t := Times{Start: p.Scheduled, DepartureConfirmed: !departed.IsZero(), Why: p.Urgent()}
	if t.DepartureConfirmed {
		t.Start = departed
	}
	delay = max(0, delay)
	t.Expected = unit.UpToMinute(t.Start.Add(p.P50 + delay))
	t.Latest = unit.UpToMinute(t.Start.Add(p.P90 + delay))
	t.Watch = unit.UpToMinute(t.Start.Add(p.within(p.margins().Watch) + delay))
	for _, l := range p.hardLimits() {
		if l.At.Before(t.Watch) {
			t.Watch = latest(l.At, t.Start)
			t.WatchBecause = l.Name
			t.because(l.Name + " comes before the latest return")
		}
	}
	t.setLadder(p)
	return t
}

// TimesFor returns the instants that follow from the roll: its departure and delays, and calls for
// help. People who left early and searches have clocks of their own (Alarm) and move none of these.
func TimesFor(p Promise, s party.State) Times {
	t := TimesOf(p, s.Departed, s.Delay)
	if at := s.TroubleAt; !at.IsZero() {
		t.Trouble = at
		t.Watch, t.Widen, t.Call = earliest(t.Watch, at), earliest(t.Widen, at), earliest(t.Call, at)
		t.Why = append(t.Why, "help was asked for")
	}
	return t
}

// setLadder sets the steps after the watch time. Our judgment, after the rule that fuel
// exhausted means distress (ICAO Annex 12, 5.2): darkness or the end of the water within the
// wait shortens it, but never below the urgent wait.
func (t *Times) setLadder(p Promise) {
	m := p.margins()
	wait := m.Call
	if len(p.Urgent()) > 0 {
		wait = m.Urgent
	}
	t.Call = t.Watch.Add(wait)
	for _, l := range p.hardLimits() {
		if l.At.Before(t.Call) && t.Call.Sub(t.Watch) > m.Urgent {
			t.Call = earliest(t.Call, latest(l.At, t.Watch.Add(m.Urgent)))
			t.because(l.Name + " comes before the call time")
		}
	}
	t.Widen = earliest(t.Watch.Add(m.Widen), t.Call)
}

// because adds a reason once.
func (t *Times) because(words string) {
	if !slices.Contains(t.Why, words) {
		t.Why = append(t.Why, words)
	}
}

func earliest(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func latest(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
