package party_test

import (
	"strings"
	"testing"
	"time"

	"saltbush/internal/party"
)

// oneMissing is a party of eight of whom one is missing from minute 200.
func oneMissing(factors ...party.Factor) *script {
	var s script
	s.Out(8)
	s.Count(160, 8, 8, "Notch Junction")
	s.Add(party.KindMissing, 200, func(e *party.Event) {
		e.Persons, e.Place, e.SeenBy, e.SeenAt, e.Factors = people(6, 6), "Wash", "Walker 07", clock(185), factors
	})
	return &s
}

func TestUrgencyDecidesTheCall(t *testing.T) {
	for _, x := range party.Factors() {
		st := party.Fold(roster(8), oneMissing(x).Events)
		if got, open := st.Searching(); !open || !got.CallAt().Equal(clock(200)) || !st.TroubleAt.IsZero() {
			t.Errorf("%s: call at %v, trouble at %v; want at once, and no call of the whole party's",
				x, got.CallAt(), st.TroubleAt)
		}
	}
	s := oneMissing()
	st := party.Fold(roster(8), s.Events)
	if got, _ := st.Searching(); !got.CallAt().Equal(clock(230)) || !st.TroubleAt.IsZero() {
		t.Errorf("nothing urgent: call at %v, trouble %v; want half an hour on, none yet", got.CallAt(), st.TroubleAt)
	}
	s.Add(party.KindStep, 218, func(e *party.Event) { e.Step, e.Trouble = party.BackCheck, true })
	st = party.Fold(roster(8), s.Events)
	if got, _ := st.Searching(); !got.CallAt().Equal(clock(218)) {
		t.Errorf("back-check failed: call at %v; want then", got.CallAt())
	}
}

func TestRollKnowsFactorsByItself(t *testing.T) {
	tests := []struct {
		name   string
		change func(party.Roster, *script)
		want   party.Factor
	}{
		{"minor", func(r party.Roster, _ *script) { r[5].Minor = true }, party.FactorChild},
		{"action line", func(r party.Roster, _ *script) { r[5].ActionLine = true }, party.FactorIll},
		{"unwell before", func(_ party.Roster, s *script) {
			s.Add(party.KindUnwell, 150,
				func(e *party.Event) { e.Persons, e.Signs = people(6, 6), []party.Sign{party.SignDizzy} })
		}, party.FactorDistress},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, s := roster(8), oneMissing()
			tt.change(r, s)
			got, _ := party.Fold(r, s.Events).Searching()
			if len(got.Factors) != 1 || got.Factors[0] != tt.want {
				t.Errorf("factors %v, want %s", got.Factors, tt.want)
			}
		})
	}
}

func TestSearchFromMissToToldFamily(t *testing.T) {
	s := oneMissing(party.FactorHeat)
	s.Add(party.KindStep, 202, func(e *party.Event) { e.Step = 1 })
	s.Add(party.KindStep, 203, func(e *party.Event) { e.Step, e.By = 1, "Walker 02" })
	st := party.Fold(roster(8), s.Events)
	open, _ := st.Searching()
	if tick, done := open.Done(1); !done || !tick.At.Equal(clock(202)) || len(open.Steps) != 1 {
		t.Errorf("steps %+v; want the first tick of step 1", open.Steps)
	}
	if p, _ := st.Person(person(6)); !p.Missing || p.Last.Place != "Notch Junction" || !p.Last.At.Equal(clock(160)) {
		t.Errorf("missing %v, last agreed %+v; want the count at Notch Junction, not the hearsay", p.Missing, p.Last)
	}
	if st.CanClose() == nil {
		t.Error("a hike with a search open can be closed")
	}

	s.Add(party.KindFound, 240,
		func(e *party.Event) { e.Persons, e.Place, e.Note = people(6, 6), "Side Wash", "thirsty, well" })
	s.Add(party.KindTold, 241, func(e *party.Event) { e.To = "searchers" })
	st = party.Fold(roster(8), s.Events)
	if _, open := st.Searching(); open || !st.TroubleAt.IsZero() || kindsOf(st.OpenFlags())[party.FlagMissing] != 0 {
		t.Errorf("open %v, trouble %v, flags %v; want the search ended", open, st.TroubleAt, kindsOf(st.OpenFlags()))
	}
	if next := st.Searches[0].NextToNotify(); next != "on-call" {
		t.Errorf("next to hear is %q, want on-call", next)
	}
	s.Add(party.KindTold, 242, func(e *party.Event) { e.To = "family" })
	if n := kindsOf(party.Fold(roster(8), s.Events).Flags)[party.FlagOutOfTurn]; n != 1 {
		t.Errorf("%d flags, want the family told before on-call flagged", n)
	}
}

func TestSecondMissOpensASecondSearch(t *testing.T) {
	s := oneMissing()
	s.Add(party.KindMissing, 205,
		func(e *party.Event) { e.Persons, e.Place, e.By = people(6, 6), "Saddle", "Walker 02" })
	if st := party.Fold(roster(8), s.Events); len(st.Searches) != 1 || st.Searches[0].SeenPlace != "Wash" ||
		len(st.Searches[0].Events) != 2 {
		t.Errorf("searches %+v; want one with both records", st.Searches)
	}
	s.Named(party.KindBack, 240, people(6, 6)...)
	s.Add(party.KindMissing, 250, func(e *party.Event) { e.Persons, e.Place = people(7, 7), "Saddle" })
	if st := party.Fold(roster(8), s.Events); len(st.Searches) != 2 || st.Searches[0].Ended.IsZero() {
		t.Errorf("searches %+v; want the first ended and a second", st.Searches)
	}
}

func TestEndOfASearchNobodyBegan(t *testing.T) {
	var s script
	s.Out(5)
	s.Add(party.KindFound, 100, func(e *party.Event) { e.Persons, e.Place = people(4, 4), "Wash" })
	if n := kindsOf(party.Fold(roster(5), s.Events).Flags)[party.FlagContradiction]; n != 1 {
		t.Errorf("%d flags, want one", n)
	}
}

// Confused, sweating, three hours in.
func TestConfusedIsAnEmergencyWithoutARest(t *testing.T) {
	c := party.CareFor([]party.Sign{party.SignSweating, party.SignConfused})
	text := strings.ToLower(c.Title + " " + strings.Join(c.Do, " "))
	if !c.Emergency || !strings.Contains(c.Do[0], "Cool now") || !strings.Contains(text, "two callers") {
		t.Errorf("care %+v; want emergency, cool now, two callers", c)
	}
	for _, soft := range []string{"rest", "10 minutes", "wait", "test walk"} {
		for _, word := range strings.Fields(text) {
			if word == soft {
				t.Errorf("care offers %q", soft)
			}
		}
		if strings.Contains(soft, " ") && strings.Contains(text, soft) {
			t.Errorf("care offers %q", soft)
		}
	}
	var s script
	s.Out(5)
	s.Add(party.KindUnwell, 245, func(e *party.Event) {
		e.Persons, e.Signs = people(4, 4), []party.Sign{party.SignSweating, party.SignConfused}
	})
	if st := party.Fold(roster(5), s.Events); !st.TroubleAt.Equal(clock(245)) ||
		!hasGrave(st.OpenFlags(), party.FlagEmergency) {
		t.Errorf("trouble %v, flags %+v; want help asked for at once", st.TroubleAt, st.OpenFlags())
	}
}

func TestSignsThatAreNoEmergency(t *testing.T) {
	c := party.CareFor([]party.Sign{party.SignDizzy, party.SignSweating})
	if c.Emergency || !strings.Contains(c.Do[len(c.Do)-1], "emergency") {
		t.Errorf("care %+v; want shade, and when it becomes an emergency", c)
	}
}

func hasGrave(flags []party.Flag, k party.FlagKind) bool {
	for _, f := range flags {
		if f.Kind == k && f.Grave {
			return true
		}
	}
	return false
}

// Thunder alone moves no clock, and holds the party for half an hour after the last.
func TestThunderMovesNoClock(t *testing.T) {
	var s script
	s.Out(5)
	s.Add(party.KindThunder, 125, nil)
	s.Add(party.KindThunder, 142, nil)
	st := party.Fold(roster(5), s.Events)
	if len(st.Thunder) != 2 || !st.Thunder[1].Equal(clock(142)) || st.Delay != 0 {
		t.Errorf("thunder %v, delay %v; want both heard and no delay", st.Thunder, st.Delay)
	}
	if at := st.ResumeAt(); !at.Equal(clock(172)) || !st.WaitsForThunder(clock(171)) || st.WaitsForThunder(clock(172)) {
		t.Errorf("resume at %v, want half an hour after the last", at)
	}
	if at := party.Fold(roster(5), nil).ResumeAt(); !at.IsZero() {
		t.Errorf("resume without thunder at %v, want zero", at)
	}
	s.Add(party.KindDelayed, 160, func(e *party.Event) { e.Minutes, e.Note = 45, "thunder" })
	if d := party.Fold(roster(5), s.Events).Delay; d != 45*time.Minute {
		t.Errorf("delay %v, want the 45 minutes reported", d)
	}
}
