package party_test

import (
	"slices"
	"testing"
	"time"

	"saltbush/internal/party"
)

func lostAt(s *script, minute int, number int, ids ...party.PersonID) {
	s.Add(party.KindMissing, minute, func(e *party.Event) { e.Persons, e.Number, e.Place = ids, number, "Wash" })
}

// Somebody missing without a name is found by any name, by number, or named later; each closes
// exactly one.
func TestUnnamedMissing(t *testing.T) {
	found := func(minute, number int, ids ...party.PersonID) func(*script) {
		return func(s *script) {
			s.Add(party.KindFound, minute, func(e *party.Event) { e.Persons, e.Number, e.Place = ids, number, "Wash" })
		}
	}
	tests := []struct {
		name         string
		then         []func(*script)
		open         bool
		lost, wanted int // still missing, and expected in the next count
	}{
		{"nothing yet", nil, true, 1, 7},
		{"found by name", []func(*script){found(210, 0, person(5))}, false, 0, 8},
		{"found by number", []func(*script){found(210, 1)}, false, 0, 8},
		{"a second person is lost", []func(*script){func(s *script) { lostAt(s, 205, 0, person(3)) }}, true, 2, 6},
		{"two missing in all", []func(*script){func(s *script) { lostAt(s, 205, 2, person(3)) }}, true, 2, 6},
		{"named later", []func(*script){func(s *script) {
			s.Add(party.KindNamed, 205, func(e *party.Event) { e.Persons = people(3, 3) })
		}}, true, 1, 7},
		{"named later and found", []func(*script){func(s *script) {
			s.Add(party.KindNamed, 205, func(e *party.Event) { e.Persons = people(3, 3) })
		}, found(210, 0, person(3))}, false, 0, 8},
		{"second lost, the unnamed found", []func(*script){func(s *script) { lostAt(s, 205, 0, person(3)) },
			found(210, 1)}, true, 1, 7},
		{"everybody back", []func(*script){func(s *script) { s.Named(party.KindBack, 300, people(1, 8)...) }},
			false, 0, 8},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.Out(8)
			lostAt(&s, 200, 1)
			for _, f := range tt.then {
				f(&s)
			}
			st := party.Fold(roster(8), s.Events)
			if _, open := st.Searching(); open != tt.open || st.Lost != tt.lost || st.Expected != tt.wanted {
				t.Errorf("open %t, lost %d, expected %d; want %t, %d, %d",
					open, st.Lost, st.Expected, tt.open, tt.lost, tt.wanted)
			}
		})
	}
}

// A count after somebody is missed expects the others, agrees, and says nothing about where the
// missing person was; a name called out in a count ends the search.
func TestMissingAreNotCounted(t *testing.T) {
	s := oneMissing()
	s.Count(205, 7, 7, "Wash")
	st := party.Fold(roster(8), s.Events)
	p, _ := st.Person(person(6))
	if c, _ := st.LastCount(); !c.Agrees || !p.Last.At.Equal(clock(160)) {
		t.Errorf("count %+v, last seen %v; want 7 agreed, and the missing last seen at the count before", c, p.Last.At)
	}
	// Somebody who does not know counts everybody by name: the search stays open until it is settled.
	s.Add(party.KindCounted, 220, func(e *party.Event) {
		e.By, e.Persons, e.Number, e.Place = "Walker 02", people(1, 8), 8, "Wash"
	})
	st = party.Fold(roster(8), s.Events)
	if _, open := st.Searching(); !open || st.Expected != 7 {
		t.Errorf("open %t, expected %d; want the search open", open, st.Expected)
	}
	flags := st.OpenFlags()
	i := slices.IndexFunc(flags, func(f party.Flag) bool { return f.Kind == party.FlagSeenMissing })
	if i < 0 || !flags[i].Conflict() || flags[i].Claims[0].Kind != party.KindMissing {
		t.Fatalf("flags %+v; want both records side by side", flags)
	}
	s.Add(party.KindUndone, 221, func(e *party.Event) { e.Retracts = flags[i].Claims[0].Event })
	if st = party.Fold(roster(8), s.Events); st.Expected != 8 || kindsOf(st.OpenFlags())[party.FlagSeenMissing] != 0 {
		t.Errorf("expected %d, flags %v; want one tap to settle it", st.Expected, kindsOf(st.OpenFlags()))
	}
}

// A split after somebody is missed leaves them out, whoever the form ticked.
func TestSplitWithoutTheMissing(t *testing.T) {
	s := oneMissing()
	s.Add(party.KindSplit, 210, func(e *party.Event) {
		e.Place, e.Parties = "Wash", []party.Part{
			{Name: "front", Staff: people(1, 1), Persons: people(3, 4), Number: 3, Meet: "cars", By: clock(300)},
			{Name: "back", Staff: people(2, 2), Persons: people(5, 8), Number: 4, Meet: "cars", By: clock(300)},
		}
	})
	st := party.Fold(roster(8), s.Events)
	if p, _ := st.Person(person(6)); p.Party != "" || !p.Missing || st.Parties[1].Expected != 4 {
		t.Errorf("party %q, missing %t, back expects %d; want no party, missing, 4",
			p.Party, p.Missing, st.Parties[1].Expected)
	}
}

func TestSearchRises(t *testing.T) {
	s := oneMissing()
	got, _ := party.Fold(roster(8), s.Events).Searching()
	if !got.RiseAt().Equal(clock(215)) || !got.CallAt().Equal(clock(230)) {
		t.Errorf("rises %v, call %v; want a quarter and half an hour on", got.RiseAt(), got.CallAt())
	}
	s.Add(party.KindStep, 204, func(e *party.Event) { e.Step, e.Trouble = 2, true })
	got, _ = party.Fold(roster(8), s.Events).Searching()
	if !got.RiseAt().Equal(clock(204)) || !got.CallAt().Equal(clock(219)) {
		t.Errorf("rises %v, call %v; want at the failed step and a quarter of an hour on", got.RiseAt(), got.CallAt())
	}
}

// Heat, dusk and little water make a search urgent although nobody ticks them.
func TestTermsMakeASearchUrgent(t *testing.T) {
	tests := []struct {
		name  string
		terms party.Terms
		want  party.Factor
	}{
		{"hot day", party.Terms{Hot: true}, party.FactorHeat},
		{"dusk in forty minutes", party.Terms{Dusk: clock(240)}, party.FactorDusk},
		{"little water", party.Terms{Planned: true, Full: party.Way{Need: 4}}, party.FactorLittle},
	}
	for _, tt := range tests {
		s := oneMissing()
		s.Add(party.KindWater, 5, func(e *party.Event) { e.Persons, e.Litres = people(6, 6), 2 })
		got, _ := party.FoldWith(roster(8), tt.terms, s.Events).Searching()
		if len(got.Factors) != 1 || got.Factors[0] != tt.want || !got.CallAt().Equal(got.Began) {
			t.Errorf("%s: factors %v, call %v; want %s, at once", tt.name, got.Factors, got.CallAt(), tt.want)
		}
	}
}

// A record dated years after its receipt counts from the receipt.
func TestFutureDepartureCountsFromReceipt(t *testing.T) {
	var s script
	s.Out(8)
	for i := range s.Events {
		s.Events[i].Recorded = s.Events[i].At
	}
	last := &s.Events[len(s.Events)-1]
	last.Recorded, last.At = clock(20), clock(20).AddDate(20, 0, 0)
	st := party.Fold(roster(8), s.Events)
	if !st.Departed.Equal(clock(20)) || kindsOf(st.OpenFlags())[party.FlagClock] != 1 {
		t.Errorf("departed %v, flags %v; want the receipt, flagged", st.Departed, kindsOf(st.OpenFlags()))
	}
}

func TestHereAndNotHere(t *testing.T) {
	var s script
	s.Add(party.KindAbsent, 0, func(e *party.Event) { e.Persons, e.By = people(4, 4), "Walker 01" })
	s.Add(party.KindHere, 2, func(e *party.Event) { e.Persons, e.By = people(4, 4), "Walker 02" })
	st := party.Fold(roster(4), s.Events)
	flags := st.OpenFlags()
	if len(flags) != 1 || flags[0].Kind != party.FlagPresence || len(flags[0].Claims) != 2 ||
		flags[0].Claims[0].By != "Walker 01" || !flags[0].Claims[1].At.Equal(clock(2)) {
		t.Fatalf("flags %+v; want both records side by side", flags)
	}
	if g := party.GateOf(st, party.Terms{}, party.RouteFull, clock(60)); g.Blocked() == "" {
		t.Error("the party may leave while nobody knows who is here")
	}
	s.Add(party.KindUndone, 3, func(e *party.Event) { e.Retracts = flags[0].Claims[0].Event })
	if open := party.Fold(roster(4), s.Events).OpenFlags(); len(open) != 0 {
		t.Errorf("flags %+v; want it settled by one tap", open)
	}
	// Late ticks at the trailhead contradict nothing.
	var late script
	late.Out(4)
	late.Add(party.KindHere, 70, func(e *party.Event) { e.Persons, e.By = people(1, 4), "Walker 02" })
	if open := party.Fold(roster(4), late.Events).OpenFlags(); len(open) != 0 {
		t.Errorf("flags %+v; want none for a late tick", open)
	}
}

func TestEarlyGroups(t *testing.T) {
	var s script
	s.Out(8)
	s.Add(party.KindLeftEarly, 110, func(e *party.Event) {
		e.Persons, e.Buddies, e.Place, e.To, e.Minutes = people(7, 7), people(8, 8), "Wash", "own car", 40
	})
	st := party.Fold(roster(8), s.Events)
	if len(st.Early) != 1 || len(st.Early[0].Open) != 2 || st.Early[0].Walk != 40*time.Minute {
		t.Fatalf("early %+v; want one group of two with its walk", st.Early)
	}
	s.Named(party.KindAtCar, 140, people(7, 8)...)
	if st = party.Fold(roster(8), s.Events); len(st.Early[0].Open) != 0 {
		t.Errorf("open %v; want both confirmed", st.Early[0].Open)
	}
}
