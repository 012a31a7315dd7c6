package roll_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/roll"
)

// Hard case 7 of the trade: 15 people with 3 staff split at Notch Junction; on meeting
// again the fast 9 are there and of the slow 6 only 5.
func splitAtNotch(slowNames []roll.PersonID) []roll.Event {
	var s script
	s.out(15)
	fast := append([]roll.PersonID{}, people(4, 11)...)
	slow := people(12, 15)
	s.add(roll.KindSplit, 220, func(e *roll.Event) {
		e.Place, e.Along = "Notch Junction", 4200
		e.Parties = []roll.Part{
			{Name: "fast", Staff: people(1, 1), Persons: fast, Number: 9, Meet: "Saddle", By: clock(295)},
			{Name: "slow", Staff: people(2, 3), Persons: slow, Number: 6, Meet: "Saddle", By: clock(295)},
		}
	})
	s.add(roll.KindRejoined, 295, func(e *roll.Event) {
		e.Place = "Saddle"
		e.Parties = []roll.Part{{Name: "fast", Number: 9}, {Name: "slow", Number: 5, Persons: slowNames}}
	})
	return s.events
}

func TestSplitGroupMissesOne(t *testing.T) {
	s := roll.Fold(roster(15), splitAtNotch(nil))

	c, _ := s.LastCount()
	if c.Leader != 14 || c.Expected != 15 || c.Agrees {
		t.Errorf("last count = %d of %d, agrees %v; want 14 of 15, false", c.Leader, c.Expected, c.Agrees)
	}
	want := []roll.Gap{{
		Short: 1, Of: 6, Party: "slow",
		Candidates: []roll.PersonID{person(2), person(3), person(12), person(13), person(14), person(15)},
		Since:      roll.Seen{At: clock(220), Place: "Notch Junction", Along: 4200, Event: eventID(3)},
	}}
	if diff := cmp.Diff(want, s.Gaps); diff != "" {
		t.Errorf("gaps (-want +got):\n%s", diff)
	}
	slow, _ := s.Person(person(13))
	fast, _ := s.Person(person(5))
	if slow.Last.Place != "Notch Junction" || !slow.Last.At.Equal(clock(220)) {
		t.Errorf("slow walker last agreed %v at %q; want the split", slow.Last.At, slow.Last.Place)
	}
	if fast.Last.Place != "Saddle" {
		t.Errorf("fast walker last agreed at %q; want Saddle", fast.Last.Place)
	}
}

func TestSplitGroupNamesTheMissing(t *testing.T) {
	present := []roll.PersonID{person(2), person(3), person(12), person(13), person(15)}
	s := roll.Fold(roster(15), splitAtNotch(present))
	if len(s.Gaps) != 1 || !cmp.Equal(s.Gaps[0].Candidates, []roll.PersonID{person(14)}) {
		t.Fatalf("gaps = %+v; want only walker 14 as missing", s.Gaps)
	}
	missing, _ := s.Person(person(14))
	seen, _ := s.Person(person(12))
	if missing.Last.Place != "Notch Junction" || seen.Last.Place != "Saddle" {
		t.Errorf("missing last at %q, present at %q; want Notch Junction and Saddle", missing.Last.Place, seen.Last.Place)
	}
}

func TestSplitFlaggedWhenItHappens(t *testing.T) {
	sound := roll.Part{Name: "fast", Staff: people(1, 1), Persons: people(4, 9), Number: 7}
	tests := []struct {
		name string
		slow roll.Part
		want int
	}{
		{"staff and number", roll.Part{Name: "slow", Staff: people(2, 3), Number: 3, Persons: people(10, 10)}, 0},
		{"no staff", roll.Part{Name: "slow", Number: 3, Persons: people(10, 10)}, 1},
		{"no number", roll.Part{Name: "slow", Staff: people(2, 3), Persons: people(10, 10)}, 1},
		{"walker named as staff", roll.Part{Name: "slow", Staff: people(10, 10), Number: 3}, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.out(10)
			id := s.add(roll.KindSplit, 200, func(e *roll.Event) {
				e.Place, e.Parties = "Notch Junction", []roll.Part{sound, tt.slow}
			})
			flags := roll.Fold(roster(10), s.events).Flags
			got := 0
			for _, f := range flags {
				if f.Kind == roll.FlagSplitUnsound && f.Grave && f.Events[0] == id && f.At.Equal(clock(200)) {
					got++
				}
			}
			if got != tt.want {
				t.Errorf("flags at the split = %d, want %d: %+v", got, tt.want, flags)
			}
		})
	}
}

func TestSplitTakesTheRestIntoThePartyWithoutNames(t *testing.T) {
	var s script
	s.out(10)
	s.add(roll.KindSplit, 200, func(e *roll.Event) {
		e.Place = "Notch Junction"
		e.Parties = []roll.Part{
			{Name: "fast", Staff: people(1, 1), Persons: people(4, 6), Number: 4},
			{Name: "slow", Staff: people(2, 3), Number: 6},
		}
	})
	st := roll.Fold(roster(10), s.events)
	p, _ := st.Person(person(9))
	if p.Party != "slow" || st.Parties[1].Expected != 6 {
		t.Errorf("walker 9 in %q, slow expected %d; want slow, 6", p.Party, st.Parties[1].Expected)
	}
}

func TestCounts(t *testing.T) {
	tests := []struct {
		name          string
		leader, sweep int
		want          map[roll.FlagKind]int
	}{
		{"agrees", 8, 8, map[roll.FlagKind]int{}},
		{"sweep alone agrees", 0, 8, map[roll.FlagKind]int{}},
		{"too low", 7, 7, map[roll.FlagKind]int{roll.FlagCountLow: 1}},
		{"too high", 9, 0, map[roll.FlagKind]int{roll.FlagCountHigh: 1}},
		{"disagree", 8, 7, map[roll.FlagKind]int{roll.FlagCountLow: 1, roll.FlagCountsDiffer: 1}},
		{"both wrong", 9, 7, map[roll.FlagKind]int{roll.FlagCountLow: 1, roll.FlagCountHigh: 1, roll.FlagCountsDiffer: 1}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.out(8)
			s.count(120, tt.leader, tt.sweep, "Wash")
			got := kindsOf(roll.Fold(roster(8), s.events).OpenFlags())
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("flags of %d and %d against 8 (-want +got):\n%s", tt.leader, tt.sweep, diff)
			}
		})
	}
}

func TestCountsMadeApartAreOneCount(t *testing.T) {
	var s script
	s.out(8)
	s.count(120, 8, 0, "Wash")
	s.count(131, 0, 7, " wash")
	s.events[3].By = "Walker 02"
	st := roll.Fold(roster(8), s.events)
	c, _ := st.LastCount()
	if c.Leader != 8 || c.Sweep != 7 || len(c.Events) != 2 {
		t.Fatalf("last count = %+v; want one of both events", c)
	}
	if kindsOf(st.OpenFlags())[roll.FlagCountsDiffer] != 1 {
		t.Errorf("flags = %+v; want leader and sweep to disagree", st.OpenFlags())
	}
}

func TestGoodCountSettlesABadOne(t *testing.T) {
	var s script
	s.out(8)
	s.count(120, 7, 0, "Wash")
	low := roll.Fold(roster(8), s.events)
	s.count(124, 8, 8, "Wash")
	good := roll.Fold(roster(8), s.events)
	if len(low.Gaps) != 1 || len(low.OpenFlags()) != 1 {
		t.Errorf("after the low count: gaps %+v, flags %+v; want one of each", low.Gaps, low.OpenFlags())
	}
	if len(good.Gaps) != 0 || len(good.OpenFlags()) != 0 || len(good.Flags) != 1 {
		t.Errorf("after the good count: gaps %+v, flags %+v; want the flag kept and settled", good.Gaps, good.Flags)
	}
}

func TestLateRecordOfAnEarlyLeaverRightsTheCount(t *testing.T) {
	var s script
	s.out(8)
	s.count(120, 6, 6, "Wash")
	before := roll.Fold(roster(8), s.events)
	s.add(roll.KindLeftEarly, 110, func(e *roll.Event) {
		e.By, e.Persons, e.Buddies, e.Place, e.To, e.Minutes = "Walker 02", people(7, 7), people(8, 8), "Wash", "car", 40
	})
	after := roll.Fold(roster(8), s.events)
	if len(before.OpenFlags()) == 0 || len(after.OpenFlags()) != 0 || after.Expected != 6 {
		t.Errorf("before %+v, after %+v, expected %d; want the flag gone and 6", before.OpenFlags(), after.OpenFlags(), after.Expected)
	}
	if want := clock(110 + 80); !after.ConfirmBy().Equal(want) {
		t.Errorf("confirm by %v, want twice the walk: %v", after.ConfirmBy(), want)
	}
}

func TestDeparture(t *testing.T) {
	t.Run("a number without names takes all who are here", func(t *testing.T) {
		var s script
		s.named(roll.KindHere, 40, people(1, 5)...)
		s.add(roll.KindDeparted, 65, func(e *roll.Event) { e.Number = 5 })
		st := roll.Fold(roster(6), s.events)
		if st.Out != 5 || st.Unnamed != 0 || len(st.OnTrail()) != 5 {
			t.Errorf("out %d, unnamed %d, on trail %d; want 5, 0, 5", st.Out, st.Unnamed, len(st.OnTrail()))
		}
	})
	t.Run("the larger of number and names stands", func(t *testing.T) {
		var s script
		s.add(roll.KindDeparted, 65, func(e *roll.Event) { e.Number, e.Persons = 6, people(1, 5) })
		s.named(roll.KindBack, 300, people(1, 5)...)
		s.named(roll.KindAbsent, 60, person(6))
		st := roll.Fold(roster(6), s.events)
		if st.Out != 6 || st.Unnamed != 1 || st.AllAccounted {
			t.Errorf("out %d, unnamed %d, all accounted %v; want 6, 1, false", st.Out, st.Unnamed, st.AllAccounted)
		}
	})
	t.Run("the earliest of two records gives the time", func(t *testing.T) {
		var s script
		s.out(5)
		s.add(roll.KindDeparted, 60, func(e *roll.Event) { e.By, e.Number, e.Persons = "Walker 02", 5, people(1, 5) })
		if st := roll.Fold(roster(5), s.events); !st.Departed.Equal(clock(60)) || kindsOf(st.Flags)[roll.FlagDuplicate] != 1 {
			t.Errorf("departed %v, flags %v; want the earlier and a duplicate", st.Departed, kindsOf(st.Flags))
		}
	})
}

func TestDelay(t *testing.T) {
	delay := func(by string, min int) func(*roll.Event) {
		return func(e *roll.Event) { e.By, e.Minutes, e.Note = by, min, "thunder" }
	}
	tests := []struct {
		name string
		add  func(*script)
		want time.Duration
	}{
		{"none", func(*script) {}, 0},
		{"two by one person add", func(s *script) {
			s.add(roll.KindDelayed, 100, delay("Walker 01", 30))
			s.add(roll.KindDelayed, 112, delay("Walker 01", 17))
		}, 47 * time.Minute},
		{"one told by two counts once, the longer", func(s *script) {
			s.add(roll.KindDelayed, 100, delay("Walker 01", 30))
			s.add(roll.KindDelayed, 105, delay("Walker 02", 40))
		}, 40 * time.Minute},
		{"told before the departure", func(s *script) { s.add(roll.KindDelayed, 50, delay("Walker 01", 30)) }, 0},
		{"undone", func(s *script) {
			id := s.add(roll.KindDelayed, 100, delay("Walker 01", 30))
			s.add(roll.KindUndone, 101, func(e *roll.Event) { e.Retracts = id })
		}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.out(5)
			tt.add(&s)
			if got := roll.Fold(roster(5), s.events).Delay; got != tt.want {
				t.Errorf("delay = %v, want %v", got, tt.want)
			}
		})
	}
}

func TestUndo(t *testing.T) {
	var s script
	s.out(5)
	back := s.named(roll.KindBack, 300, person(4))
	undo := s.add(roll.KindUndone, 301, func(e *roll.Event) { e.Retracts = back })
	where := func() roll.Whereabouts {
		p, _ := roll.Fold(roster(5), s.events).Person(person(4))
		return p.Where
	}
	if got := where(); got != roll.WhereOut {
		t.Errorf("after undo: %q, want out", got)
	}
	s.add(roll.KindUndone, 302, func(e *roll.Event) { e.Retracts = undo })
	if got := where(); got != roll.WhereBack {
		t.Errorf("after undoing the undo: %q, want back", got)
	}
}

func TestCanCloseNamesWhoeverIsMissing(t *testing.T) {
	var s script
	s.out(4)
	s.named(roll.KindBack, 300, people(1, 3)...)
	err := roll.Fold(roster(5), s.events).CanClose()
	want := "the hike stays open: not accounted for: Walker 04 (out), Walker 05 (never marked here or absent)"
	if err == nil || err.Error() != want {
		t.Fatalf("error = %v, want %s", err, want)
	}
	s.named(roll.KindBack, 310, person(4))
	s.named(roll.KindAbsent, 50, person(5))
	err = roll.Fold(roster(5), s.events).CanClose()
	if err == nil || !strings.Contains(err.Error(), "stood down") {
		t.Errorf("error = %v, want one about standing down", err)
	}
	s.add(roll.KindStoodDown, 320, nil)
	if err := roll.Fold(roster(5), s.events).CanClose(); err != nil {
		t.Errorf("error = %v, want none", err)
	}
}

func TestTroubleStaysUntilUndone(t *testing.T) {
	var s script
	s.out(4)
	s.add(roll.KindReported, 150, func(e *roll.Event) { e.Note, e.Trouble = "broken ankle", true })
	s.add(roll.KindReported, 160, func(e *roll.Event) { e.Note = "walking again" })
	if st := roll.Fold(roster(4), s.events); !st.TroubleAt.Equal(clock(150)) || len(st.Reports) != 2 {
		t.Errorf("trouble at %v with %d reports; want the first and both", st.TroubleAt, len(st.Reports))
	}
}

func TestClockChangeDoesNotMoveEvents(t *testing.T) {
	denver, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	var s script
	s.out(4)
	local := append([]roll.Event{}, s.events...)
	for i := range local {
		local[i].At = local[i].At.In(denver)
	}
	if diff := diffStates(roll.Fold(roster(4), s.events), roll.Fold(roster(4), local)); diff != "" {
		t.Errorf("zone of the device changed the state:\n%s", diff)
	}
}
