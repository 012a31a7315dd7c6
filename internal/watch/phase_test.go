package watch_test

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/party"
	"saltbush/internal/watch"
)

func person(n int) party.PersonID {
	return party.PersonID("00000000-0000-4000-8000-00000000000" + string(rune('0'+n)))
}

var roster = party.Roster{
	{ID: person(1), Name: "Lee Example", Staff: true, Role: "leader"},
	{ID: person(2), Name: "Sam Example", Staff: true, Role: "sweep"},
	{ID: person(3), Name: "Ana Example"},
	{ID: person(4), Name: "Ben Example"},
}

func event(n int, k party.Kind, when time.Time, persons ...party.PersonID) party.Event {
	return party.Event{ID: party.EventID("00000000-0000-4000-9000-00000000000" + string(rune('0'+n))), Kind: k,
		At: when,
		By: "Lee Example", Persons: persons, Number: len(persons)}
}

func everyone() []party.PersonID { return []party.PersonID{person(1), person(2), person(3), person(4)} }

func departed() party.Event { return event(1, party.KindDeparted, at(6, 30), everyone()...) }

func back() party.Event { return event(2, party.KindBack, at(10, 5), everyone()...) }

func trouble(n int, when time.Time) party.Event {
	e := event(n, party.KindReported, when)
	e.Note, e.Trouble = "broken ankle", true
	return e
}

func fold(events ...party.Event) party.State { return party.Fold(roster, events) }

// The plain promise: expected 10:15, watch 11:21, widen 11:51, call 12:21.
func TestPhaseAt(t *testing.T) {
	tests := []struct {
		name  string
		now   time.Time
		state party.State
		want  watch.Phase
	}{
		{"before the start", at(6, 0), fold(), watch.NotOut},
		{"start passed, nobody reported", at(7, 0), fold(), watch.Unconfirmed},
		{"not reported and past expected", at(10, 20), fold(), watch.Due},
		{"not reported and past watch", at(11, 30), fold(), watch.Uncertainty},
		{"out", at(7, 0), fold(departed()), watch.OnTime},
		{"out, device clock ahead of now", at(6, 0), fold(departed()), watch.OnTime},
		{"past expected", at(10, 16), fold(departed()), watch.Due},
		{"past watch", at(11, 22), fold(departed()), watch.Uncertainty},
		{"past widen", at(11, 52), fold(departed()), watch.Alert},
		{"past call", at(12, 22), fold(departed()), watch.Distress},
		{"help asked for", at(7, 0), fold(departed(), trouble(3, at(6, 55))), watch.Distress},
		{"help asked for, all back, nobody stood down", at(11, 0), fold(departed(), trouble(3, at(6, 55)), back()),
			watch.Distress},
		{"all back", at(11, 30), fold(departed(), back()), watch.Back},
		{"stood down", at(11, 30), fold(departed(), back(), event(3, party.KindStoodDown, at(10, 10))),
			watch.StoodDown},
		{"stood down with names missing", at(12, 30), fold(departed(), event(3, party.KindStoodDown, at(10, 10))),
			watch.Distress},
		{"help after the stand-down", at(10, 30),
			fold(departed(), back(), event(3, party.KindStoodDown, at(10, 10)), trouble(4, at(10, 20))),
			watch.Distress},
		{"thanks after the stand-down", at(10, 30),
			fold(departed(), back(), event(3, party.KindStoodDown, at(10, 10)),
				event(4, party.KindReported, at(10, 20))), watch.StoodDown},
		{"nobody came", at(12, 30), fold(event(3, party.KindAbsent, at(6, 40), everyone()...)), watch.NotOut},
		{"empty roll is not a good roll", at(12, 30), party.Fold(nil, nil), watch.Distress},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := watch.PhaseAt(tt.now, watch.TimesFor(plain(), tt.state), tt.state)
			if got != tt.want {
				t.Errorf("phase = %q, want %q", got, tt.want)
			}
		})
	}
}

// A pair that leaves early has a clock of its own; the party's promise stands.
func TestEarlyLeaversNotConfirmedAreLate(t *testing.T) {
	left := event(2, party.KindLeftEarly, at(7, 30), person(3), person(4))
	left.Place, left.To, left.Minutes = "Wash", "car", 40
	c := caseWith(plain(), fold(departed(), left))
	if !c.Times.Watch.Equal(caseWith(plain(), fold(departed())).Times.Watch) {
		t.Errorf("the party's watch time is %v, moved by the pair", c.Times.Watch)
	}
	a := c.Alarms()[0]
	near(t, "watch for the pair", a.Watch, at(8, 50))
	near(t, "call for the pair", a.Call, at(9, 20))
	if before, after := c.Phase(at(8, 49)), c.Phase(at(8, 55)); before != watch.OnTime || after != watch.Uncertainty {
		t.Errorf("phase %q, then %q; want uncertainty at twice the walk", before, after)
	}
	c = caseWith(plain(), fold(departed(), left, event(3, party.KindAtCar, at(8, 15), person(3), person(4))))
	if got := c.Phase(at(9, 30)); got != watch.OnTime || c.Alarms()[0].Running() {
		t.Errorf("phase %q once they are at the car, want on time", got)
	}
}

func TestTroubleCallsAtOnce(t *testing.T) {
	times := watch.TimesFor(plain(), fold(departed(), trouble(2, at(8, 0))))
	if !times.Call.Equal(at(8, 0)) || !times.Watch.Equal(at(8, 0)) {
		t.Errorf("watch %v, call %v; want both at 08:00", times.Watch, times.Call)
	}
}

func TestTimeAloneNeverLowersThePhase(t *testing.T) {
	order := map[watch.Phase]int{watch.NotOut: 0, watch.Unconfirmed: 1, watch.OnTime: 1, watch.Due: 2,
		watch.Uncertainty: 3, watch.Alert: 4, watch.Distress: 5}
	rapid.Check(t, func(t *rapid.T) {
		s := fold()
		if rapid.Bool().Draw(t, "departed") {
			s = fold(departed())
		}
		times := watch.TimesFor(plain(), s)
		now := at(5, 0).Add(time.Duration(rapid.IntRange(0, 600).Draw(t, "now")) * time.Minute)
		then := now.Add(time.Duration(rapid.IntRange(0, 300).Draw(t, "later")) * time.Minute)
		a, b := watch.PhaseAt(now, times, s), watch.PhaseAt(then, times, s)
		if order[b] < order[a] {
			t.Fatalf("phase fell from %q at %v to %q at %v", a, now, b, then)
		}
	})
}

func TestEveryPhaseSaysWhatItMeans(t *testing.T) {
	seen := map[string]watch.Phase{}
	for _, p := range append(watch.Phases(), "floated") {
		m := p.Meaning()
		if other, taken := seen[m]; taken || !strings.HasSuffix(m, ".") {
			t.Errorf("%q means %q, as %q does", p, m, other)
		}
		seen[m] = p
	}
	if watch.Phase("floated").Urgency() <= watch.Distress.Urgency() {
		t.Error("an unknown phase is less urgent than distress")
	}
	for p, want := range map[watch.Phase]bool{watch.Due: false, watch.Uncertainty: true, watch.Alert: true,
		watch.Distress: true, watch.Back: false} {
		if p.Alarm() != want {
			t.Errorf("%q alarm = %v, want %v", p, !want, want)
		}
	}
}
