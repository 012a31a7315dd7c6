package party_test

import (
	"testing"

	"saltbush/internal/party"
)

func TestWhereabouts(t *testing.T) {
	tests := []struct {
		name string
		add  func(*script)
		want party.Whereabouts
		flag party.FlagKind
	}{
		{"nothing", func(*script) {}, party.WhereOut, ""},
		{"back", func(s *script) { s.Named(party.KindBack, 300, person(4)) }, party.WhereBack, ""},
		{"left early alone", func(s *script) { s.Named(party.KindLeftEarly, 100, person(4)) }, party.WhereLeftEarly,
			party.FlagLeftAlone},
		{"left and at the car", func(s *script) {
			s.Named(party.KindLeftEarly, 100, person(4), person(5))
			s.Named(party.KindAtCar, 150, person(4))
		}, party.WhereAtCar, ""},
		{"left and rejoined", func(s *script) {
			s.Named(party.KindLeftEarly, 100, person(4), person(5))
			s.Named(party.KindJoined, 150, person(4))
		}, party.WhereOut, ""},
		{"absent after leaving", func(s *script) { s.Named(party.KindAbsent, 70, person(4)) }, party.WhereOut,
			party.FlagContradiction},
		{"turned away after leaving", func(s *script) { s.Named(party.KindTurnedAway, 70, person(4)) }, party.WhereOut,
			party.FlagContradiction},
		{"at the car without leaving", func(s *script) { s.Named(party.KindAtCar, 150, person(4)) }, party.WhereAtCar,
			party.FlagContradiction},
		{"handed over", func(s *script) { s.Named(party.KindHandedOver, 150, person(4)) }, party.WhereHandedOver, ""},
		{"back twice", func(s *script) {
			s.Named(party.KindBack, 300, person(4))
			s.Named(party.KindBack, 301, person(4))
		}, party.WhereBack, party.FlagDuplicate},
		{"left after back", func(s *script) {
			s.Named(party.KindBack, 300, person(4))
			s.Named(party.KindLeftEarly, 301, person(4), person(5))
		}, party.WhereBack, party.FlagContradiction},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.Out(6)
			tt.add(&s)
			st := party.Fold(roster(6), s.Events)
			p, _ := st.Person(person(4))
			if p.Where != tt.want {
				t.Errorf("where = %q, want %q", p.Where, tt.want)
			}
			got := kindsOf(st.Flags)
			if tt.flag != "" && got[tt.flag] != 1 || tt.flag == "" && len(got) != 0 {
				t.Errorf("flags = %v, want %q", got, tt.flag)
			}
		})
	}
}

func TestAtTheTrailhead(t *testing.T) {
	tests := []struct {
		name string
		add  func(*script)
		flag party.FlagKind
	}{
		{"here but not named", func(s *script) { s.Named(party.KindHere, 50, person(6)) }, party.FlagNotNamedOut},
		{"back but never left", func(s *script) { s.Named(party.KindBack, 300, person(6)) }, party.FlagNeverLeft},
		{"nobody knows them", func(s *script) { s.Named(party.KindBack, 300, person(99)) }, party.FlagUnknownPerson},
		{"two departures", func(s *script) {
			s.Add(party.KindDeparted, 66,
				func(e *party.Event) { e.By, e.Number, e.Persons = "Walker 02", 6, people(1, 6) })
		}, party.FlagNumberNames},
		{"one walk-up under two ids", func(s *script) {
			for i, id := range people(20, 21) {
				s.Add(party.KindJoined, 80+i,
					func(e *party.Event) { e.Name, e.Persons = "Pat Example", []party.PersonID{id} })
			}
		}, party.FlagTwoWalkUps},
		{"undo of nothing", func(s *script) {
			s.Add(party.KindUndone, 80, func(e *party.Event) { e.Retracts = eventID(77) })
		}, party.FlagUndo},
		{"clock ahead", func(s *script) {
			s.Add(party.KindReported, 80, func(e *party.Event) { e.Note, e.Recorded = "fine", clock(70) })
		}, party.FlagClock},
		{"stood down too soon", func(s *script) { s.Add(party.KindStoodDown, 400, nil) }, party.FlagStoodDownEarly},
		{"kind of a later version", func(s *script) { s.Add("floated", 400, nil) }, party.FlagUnknownKind},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.Out(5)
			tt.add(&s)
			if got := kindsOf(party.Fold(roster(6), s.Events).Flags); got[tt.flag] != 1 {
				t.Errorf("flags = %v, want one %q", got, tt.flag)
			}
		})
	}
}

func TestChildApartFromTheResponsibleAdult(t *testing.T) {
	r := roster(6)
	r[4].ResponsibleFor = []party.PersonID{person(6)}
	var s script
	s.Out(6)
	together := party.Fold(r, s.Events)
	s.Named(party.KindLeftEarly, 100, person(5), person(4))
	apart := party.Fold(r, s.Events)
	if n := kindsOf(together.Flags)[party.FlagChildAlone]; n != 0 {
		t.Errorf("together: %d flags, want none", n)
	}
	if n := kindsOf(apart.Flags)[party.FlagChildAlone]; n != 1 {
		t.Errorf("adult left: %d flags, want one", n)
	}
}

func TestArithmeticCountsNobodyTwice(t *testing.T) {
	var s script
	s.Out(5)
	s.Named(party.KindLeftEarly, 100, person(4), person(5))
	s.Named(party.KindJoined, 150, person(4)) // back into the group
	s.Named(party.KindJoined, 151, person(6)) // late, met on the trail
	st := party.Fold(roster(6), s.Events)
	got := [4]int{st.Out, st.Joined, st.LeftEarly, st.Expected}
	if want := [4]int{5, 1, 1, 5}; got != want {
		t.Errorf("out, joined, left early, expected = %v, want %v", got, want)
	}
}

func TestNumberAloneTakesNobodyBesideARecordWithNames(t *testing.T) {
	var s script
	s.Out(5)
	s.Named(party.KindHere, 50, person(6))
	s.Add(party.KindDeparted, 66, func(e *party.Event) { e.By, e.Number = "Walker 02", 5 })
	p, _ := party.Fold(roster(6), s.Events).Person(person(6))
	if p.Where != party.WhereHere {
		t.Errorf("walker 6 is %q; want here, to be asked after", p.Where)
	}
}

func TestCountsAreNotPairedAcrossALeaving(t *testing.T) {
	var s script
	s.Out(8)
	s.Count(120, 8, 0, "Wash")
	s.Named(party.KindLeftEarly, 122, person(7), person(8))
	s.Count(125, 0, 6, "Wash")
	s.Events[len(s.Events)-1].By = "Walker 02"
	if flags := kindsOf(party.Fold(roster(8), s.Events).OpenFlags()); len(flags) != 0 {
		t.Errorf("flags = %v, want none: both counts were right", flags)
	}
}

func TestSecondLowCountReplacesTheGap(t *testing.T) {
	var s script
	s.Out(8)
	s.Count(120, 7, 0, "Wash")
	s.Count(140, 6, 0, "Saddle")
	gaps := party.Fold(roster(8), s.Events).Gaps
	if len(gaps) != 1 || gaps[0].Short != 2 || gaps[0].Since.Place != "Trailhead" {
		t.Errorf("gaps = %+v; want one of two people since the trailhead", gaps)
	}
}

func TestPartysOwnGoodCountClosesItsGap(t *testing.T) {
	var s script
	s.Events = splitAtNotch(nil)[:3]
	count := func(at, n int) {
		s.Add(party.KindCounted, at, func(e *party.Event) { e.Number, e.Party, e.Place = n, "slow", "Wash" })
	}
	count(240, 5)
	low := party.Fold(roster(15), s.Events)
	count(250, 6)
	good := party.Fold(roster(15), s.Events)
	// Only one flag stays open: the leader is alone with the fast group until they meet.
	if len(low.Gaps) != 1 || len(good.Gaps) != 0 ||
		len(good.OpenFlags()) != kindsOf(good.OpenFlags())[party.FlagOneStaff] {
		t.Errorf("gaps %+v, then %+v with flags %+v; want one, then none", low.Gaps, good.Gaps, good.OpenFlags())
	}
}

func TestRejoiningShortIsFlaggedOnce(t *testing.T) {
	if n := kindsOf(party.Fold(roster(15), splitAtNotch(nil)).Flags)[party.FlagCountLow]; n != 1 {
		t.Errorf("%d flags of a low count, want one, for the slow party", n)
	}
}

func TestPartiesTakeOnlyWhoIsOutAndOnce(t *testing.T) {
	var s script
	s.Out(8)
	s.Named(party.KindLeftEarly, 100, person(7), person(8))
	s.Add(party.KindSplit, 200, func(e *party.Event) {
		e.Place = "Notch Junction"
		e.Parties = []party.Part{
			{Name: "fast", Staff: people(1, 1), Persons: people(4, 4), Number: 2},
			{Name: "slow", Staff: people(2, 3), Persons: people(4, 7), Number: 6},
		}
	})
	st := party.Fold(roster(8), s.Events)
	both, _ := st.Person(person(4))
	left, _ := st.Person(person(7))
	if both.Party != "fast" || left.Party != "" {
		t.Errorf("walker 4 in %q, walker 7 in %q; want fast and none", both.Party, left.Party)
	}
	flags := kindsOf(st.Flags)
	if flags[party.FlagTwoParties] != 1 || flags[party.FlagContradiction] != 1 {
		t.Errorf("flags = %v, want one of two parties and one contradiction", flags)
	}
}

func TestSmallClockErrorIsNoFlag(t *testing.T) {
	var s script
	s.Out(5)
	s.Add(party.KindReported, 80, func(e *party.Event) { e.Note, e.Recorded = "fine", clock(76) })
	if n := kindsOf(party.Fold(roster(5), s.Events).Flags)[party.FlagClock]; n != 0 {
		t.Errorf("%d flags for a clock four minutes ahead, want none", n)
	}
}
