package roll_test

import (
	"testing"

	"saltbush/internal/roll"
)

func TestArithmeticCountsNobodyTwice(t *testing.T) {
	var s script
	s.out(5)
	s.named(roll.KindLeftEarly, 100, person(4), person(5))
	s.named(roll.KindJoined, 150, person(4)) // back into the group
	s.named(roll.KindJoined, 151, person(6)) // late, met on the trail
	st := roll.Fold(roster(6), s.events)
	got := [4]int{st.Out, st.Joined, st.LeftEarly, st.Expected}
	if want := [4]int{5, 1, 1, 5}; got != want {
		t.Errorf("out, joined, left early, expected = %v, want %v", got, want)
	}
}

func TestNumberAloneTakesNobodyBesideARecordWithNames(t *testing.T) {
	var s script
	s.out(5)
	s.named(roll.KindHere, 50, person(6))
	s.add(roll.KindDeparted, 66, func(e *roll.Event) { e.By, e.Number = "Walker 02", 5 })
	p, _ := roll.Fold(roster(6), s.events).Person(person(6))
	if p.Where != roll.WhereHere {
		t.Errorf("walker 6 is %q; want here, to be asked after", p.Where)
	}
}

func TestCountsAreNotPairedAcrossALeaving(t *testing.T) {
	var s script
	s.out(8)
	s.count(120, 8, 0, "Wash")
	s.named(roll.KindLeftEarly, 122, person(7), person(8))
	s.count(125, 0, 6, "Wash")
	s.events[len(s.events)-1].By = "Walker 02"
	if flags := kindsOf(roll.Fold(roster(8), s.events).OpenFlags()); len(flags) != 0 {
		t.Errorf("flags = %v, want none: both counts were right", flags)
	}
}

func TestSecondLowCountReplacesTheGap(t *testing.T) {
	var s script
	s.out(8)
	s.count(120, 7, 0, "Wash")
	s.count(140, 6, 0, "Saddle")
	gaps := roll.Fold(roster(8), s.events).Gaps
	if len(gaps) != 1 || gaps[0].Short != 2 || gaps[0].Since.Place != "Trailhead" {
		t.Errorf("gaps = %+v; want one of two people since the trailhead", gaps)
	}
}

func TestPartysOwnGoodCountClosesItsGap(t *testing.T) {
	var s script
	s.events = splitAtNotch(nil)[:3]
	count := func(at, n int) {
		s.add(roll.KindCounted, at, func(e *roll.Event) { e.Number, e.Party, e.Place = n, "slow", "Wash" })
	}
	count(240, 5)
	low := roll.Fold(roster(15), s.events)
	count(250, 6)
	good := roll.Fold(roster(15), s.events)
	// What is left open is that the leader leads the fast party alone, until they meet.
	if len(low.Gaps) != 1 || len(good.Gaps) != 0 || len(good.OpenFlags()) != kindsOf(good.OpenFlags())[roll.FlagOneStaff] {
		t.Errorf("gaps %+v, then %+v with flags %+v; want one, then none", low.Gaps, good.Gaps, good.OpenFlags())
	}
}

func TestRejoiningShortIsFlaggedOnce(t *testing.T) {
	if n := kindsOf(roll.Fold(roster(15), splitAtNotch(nil)).Flags)[roll.FlagCountLow]; n != 1 {
		t.Errorf("%d flags of a low count, want one, for the slow party", n)
	}
}

func TestPartiesTakeOnlyWhoIsOutAndOnce(t *testing.T) {
	var s script
	s.out(8)
	s.named(roll.KindLeftEarly, 100, person(7), person(8))
	s.add(roll.KindSplit, 200, func(e *roll.Event) {
		e.Place = "Notch Junction"
		e.Parties = []roll.Part{
			{Name: "fast", Staff: people(1, 1), Persons: people(4, 4), Number: 2},
			{Name: "slow", Staff: people(2, 3), Persons: people(4, 7), Number: 6},
		}
	})
	st := roll.Fold(roster(8), s.events)
	both, _ := st.Person(person(4))
	left, _ := st.Person(person(7))
	if both.Party != "fast" || left.Party != "" {
		t.Errorf("walker 4 in %q, walker 7 in %q; want fast and none", both.Party, left.Party)
	}
	flags := kindsOf(st.Flags)
	if flags[roll.FlagTwoParties] != 1 || flags[roll.FlagContradiction] != 1 {
		t.Errorf("flags = %v, want one of two parties and one contradiction", flags)
	}
}

func TestSmallClockErrorIsNoFlag(t *testing.T) {
	var s script
	s.out(5)
	s.add(roll.KindReported, 80, func(e *roll.Event) { e.Note, e.Recorded = "fine", clock(76) })
	if n := kindsOf(roll.Fold(roster(5), s.events).Flags)[roll.FlagClock]; n != 0 {
		t.Errorf("%d flags for a clock four minutes ahead, want none", n)
	}
}
