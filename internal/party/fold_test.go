package party_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/party"
)

// 15 people, 3 of them staff, split at Notch Junction. When they meet again all
// 9 of the fast group are there, and 5 of the 6 of the slow one.
func splitAtNotch(slowNames []party.PersonID) []party.Event {
	var s script
	s.Out(15)
	fast := append([]party.PersonID{}, people(4, 11)...)
	slow := people(12, 15)
	s.Add(party.KindSplit, 220, func(e *party.Event) {
		e.Place, e.Along = "Notch Junction", 4200
		e.Parties = []party.Part{
			{Name: "fast", Staff: people(1, 1), Persons: fast, Number: 9, Meet: "Saddle", By: clock(295)},
			{Name: "slow", Staff: people(2, 3), Persons: slow, Number: 6, Meet: "Saddle", By: clock(295)},
		}
	})
	s.Add(party.KindRejoined, 295, func(e *party.Event) {
		e.Place = "Saddle"
		e.Parties = []party.Part{{Name: "fast", Number: 9}, {Name: "slow", Number: 5, Persons: slowNames}}
	})
	return s.Events
}

func TestSplitGroupMissesOne(t *testing.T) {
	s := party.Fold(roster(15), splitAtNotch(nil))

	c, _ := s.LastCount()
	if c.Leader != 14 || c.Expected != 15 || c.Agrees {
		t.Errorf("last count = %d of %d, agrees %v; want 14 of 15, false", c.Leader, c.Expected, c.Agrees)
	}
	want := []party.Gap{{
		Short: 1, Of: 6, Party: "slow",
		Candidates: []party.PersonID{person(2), person(3), person(12), person(13), person(14), person(15)},
		Since:      party.Sighting{At: clock(220), Place: "Notch Junction", Along: 4200, Event: eventID(3)},
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
	present := []party.PersonID{person(2), person(3), person(12), person(13), person(15)}
	s := party.Fold(roster(15), splitAtNotch(present))
	if len(s.Gaps) != 1 || !cmp.Equal(s.Gaps[0].Candidates, []party.PersonID{person(14)}) {
		t.Fatalf("gaps = %+v; want only walker 14 as missing", s.Gaps)
	}
	missing, _ := s.Person(person(14))
	seen, _ := s.Person(person(12))
	if missing.Last.Place != "Notch Junction" || seen.Last.Place != "Saddle" {
		t.Errorf("missing last at %q, present at %q; want Notch Junction and Saddle",
			missing.Last.Place, seen.Last.Place)
	}
}

func TestSplitFlaggedWhenItHappens(t *testing.T) {
	sound := party.Part{Name: "fast", Staff: people(1, 1), Persons: people(4, 9), Number: 7}
	tests := []struct {
		name string
		slow party.Part
		want int
	}{
		{"staff and number", party.Part{Name: "slow", Staff: people(2, 3), Number: 3, Persons: people(10, 10)}, 0},
		{"no staff", party.Part{Name: "slow", Number: 3, Persons: people(10, 10)}, 1},
		{"no number", party.Part{Name: "slow", Staff: people(2, 3), Persons: people(10, 10)}, 1},
		{"walker named as staff", party.Part{Name: "slow", Staff: people(10, 10), Number: 3}, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.Out(10)
			id := s.Add(party.KindSplit, 200, func(e *party.Event) {
				e.Place, e.Parties = "Notch Junction", []party.Part{sound, tt.slow}
			})
			flags := party.Fold(roster(10), s.Events).Flags
			got := 0
			for _, f := range flags {
				if f.Kind == party.FlagSplitUnsound && f.Grave && f.Events[0] == id && f.At.Equal(clock(200)) {
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
	s.Out(10)
	s.Add(party.KindSplit, 200, func(e *party.Event) {
		e.Place = "Notch Junction"
		e.Parties = []party.Part{
			{Name: "fast", Staff: people(1, 1), Persons: people(4, 6), Number: 4},
			{Name: "slow", Staff: people(2, 3), Number: 6},
		}
	})
	st := party.Fold(roster(10), s.Events)
	p, _ := st.Person(person(9))
	if p.Party != "slow" || st.Parties[1].Expected != 6 {
		t.Errorf("walker 9 in %q, slow expected %d; want slow, 6", p.Party, st.Parties[1].Expected)
	}
}

func TestCounts(t *testing.T) {
	tests := []struct {
		name          string
		leader, sweep int
		want          map[party.FlagKind]int
	}{
		{"agrees", 8, 8, map[party.FlagKind]int{}},
		{"sweep alone agrees", 0, 8, map[party.FlagKind]int{}},
		{"too low", 7, 7, map[party.FlagKind]int{party.FlagCountLow: 1}},
		{"too high", 9, 0, map[party.FlagKind]int{party.FlagCountHigh: 1}},
		{"disagree", 8, 7, map[party.FlagKind]int{party.FlagCountLow: 1, party.FlagCountsDiffer: 1}},
		{"both wrong", 9, 7,
			map[party.FlagKind]int{party.FlagCountLow: 1, party.FlagCountHigh: 1, party.FlagCountsDiffer: 1}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.Out(8)
			s.Count(120, tt.leader, tt.sweep, "Wash")
			got := kindsOf(party.Fold(roster(8), s.Events).OpenFlags())
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("flags of %d and %d against 8 (-want +got):\n%s", tt.leader, tt.sweep, diff)
			}
		})
	}
}

func TestCountsMadeApartAreOneCount(t *testing.T) {
	var s script
	s.Out(8)
	s.Count(120, 8, 0, "Wash")
	s.Count(131, 0, 7, " wash")
	s.Events[3].By = "Walker 02"
	st := party.Fold(roster(8), s.Events)
	c, _ := st.LastCount()
	if c.Leader != 8 || c.Sweep != 7 || len(c.Events) != 2 {
		t.Fatalf("last count = %+v; want one of both events", c)
	}
	if kindsOf(st.OpenFlags())[party.FlagCountsDiffer] != 1 {
		t.Errorf("flags = %+v; want leader and sweep to disagree", st.OpenFlags())
	}
}

func TestGoodCountSettlesABadOne(t *testing.T) {
	var s script
	s.Out(8)
	s.Count(120, 7, 0, "Wash")
	low := party.Fold(roster(8), s.Events)
	s.Count(124, 8, 8, "Wash")
	good := party.Fold(roster(8), s.Events)
	if len(low.Gaps) != 1 || len(low.OpenFlags()) != 1 {
		t.Errorf("after the low count: gaps %+v, flags %+v; want one of each", low.Gaps, low.OpenFlags())
	}
	if len(good.Gaps) != 0 || len(good.OpenFlags()) != 0 || len(good.Flags) != 1 {
		t.Errorf("after the good count: gaps %+v, flags %+v; want the flag kept and settled", good.Gaps, good.Flags)
	}
}

func TestLateRecordOfAnEarlyLeaverRightsTheCount(t *testing.T) {
	var s script
	s.Out(8)
	s.Count(120, 6, 6, "Wash")
	before := party.Fold(roster(8), s.Events)
	s.Add(party.KindLeftEarly, 110, func(e *party.Event) {
		e.By, e.Persons, e.Buddies, e.Place, e.To, e.Minutes = "Walker 02", people(7, 7), people(8, 8), "Wash", "car",
			40
	})
	after := party.Fold(roster(8), s.Events)
	if len(before.OpenFlags()) == 0 || len(after.OpenFlags()) != 0 || after.Expected != 6 {
		t.Errorf("before %+v, after %+v, expected %d; want the flag gone and 6",
			before.OpenFlags(), after.OpenFlags(), after.Expected)
	}
	if want := clock(110 + 80); !after.Early[0].ConfirmBy.Equal(want) {
		t.Errorf("confirm by %v, want twice the walk: %v", after.Early[0].ConfirmBy, want)
	}
}

func TestDeparture(t *testing.T) {
	t.Run("a number without names takes all who are here", func(t *testing.T) {
		var s script
		s.Named(party.KindHere, 40, people(1, 5)...)
		s.Add(party.KindDeparted, 65, func(e *party.Event) { e.Number = 5 })
		st := party.Fold(roster(6), s.Events)
		if st.Out != 5 || st.Unnamed != 0 || len(st.OnTrail()) != 5 {
			t.Errorf("out %d, unnamed %d, on trail %d; want 5, 0, 5", st.Out, st.Unnamed, len(st.OnTrail()))
		}
	})
	t.Run("the larger of number and names stands", func(t *testing.T) {
		var s script
		s.Add(party.KindDeparted, 65, func(e *party.Event) { e.Number, e.Persons = 6, people(1, 5) })
		s.Named(party.KindBack, 300, people(1, 5)...)
		s.Named(party.KindAbsent, 60, person(6))
		st := party.Fold(roster(6), s.Events)
		if st.Out != 6 || st.Unnamed != 1 || st.AllAccounted {
			t.Errorf("out %d, unnamed %d, all accounted %v; want 6, 1, false", st.Out, st.Unnamed, st.AllAccounted)
		}
	})
	t.Run("the earliest of two records gives the time", func(t *testing.T) {
		var s script
		s.Out(5)
		s.Add(party.KindDeparted, 60, func(e *party.Event) { e.By, e.Number, e.Persons = "Walker 02", 5, people(1, 5) })
		if st := party.Fold(roster(5), s.Events); !st.Departed.Equal(clock(60)) ||
			kindsOf(st.Flags)[party.FlagDuplicate] != 1 {
			t.Errorf("departed %v, flags %v; want the earlier and a duplicate", st.Departed, kindsOf(st.Flags))
		}
	})
}

func TestDelay(t *testing.T) {
	delay := func(by string, minutes int) func(*party.Event) {
		return func(e *party.Event) { e.By, e.Minutes, e.Note = by, minutes, "thunder" }
	}
	tests := []struct {
		name string
		add  func(*script)
		want time.Duration
	}{
		{"none", func(*script) {}, 0},
		{"two by one person add", func(s *script) {
			s.Add(party.KindDelayed, 100, delay("Walker 01", 30))
			s.Add(party.KindDelayed, 112, delay("Walker 01", 17))
		}, 47 * time.Minute},
		{"one told by two counts once, the longer", func(s *script) {
			s.Add(party.KindDelayed, 100, delay("Walker 01", 30))
			s.Add(party.KindDelayed, 105, delay("Walker 02", 40))
		}, 40 * time.Minute},
		{"told before the departure", func(s *script) { s.Add(party.KindDelayed, 50, delay("Walker 01", 30)) }, 0},
		{"undone", func(s *script) {
			id := s.Add(party.KindDelayed, 100, delay("Walker 01", 30))
			s.Add(party.KindUndone, 101, func(e *party.Event) { e.Retracts = id })
		}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.Out(5)
			tt.add(&s)
			if got := party.Fold(roster(5), s.Events).Delay; got != tt.want {
				t.Errorf("delay = %v, want %v", got, tt.want)
			}
		})
	}
}

func TestUndo(t *testing.T) {
	var s script
	s.Out(5)
	back := s.Named(party.KindBack, 300, person(4))
	undo := s.Add(party.KindUndone, 301, func(e *party.Event) { e.Retracts = back })
	where := func() party.Whereabouts {
		p, _ := party.Fold(roster(5), s.Events).Person(person(4))
		return p.Where
	}
	if got := where(); got != party.WhereOut {
		t.Errorf("after undo: %q, want out", got)
	}
	s.Add(party.KindUndone, 302, func(e *party.Event) { e.Retracts = undo })
	if got := where(); got != party.WhereBack {
		t.Errorf("after undoing the undo: %q, want back", got)
	}
}

func TestCanCloseNamesWhoeverIsMissing(t *testing.T) {
	var s script
	s.Out(4)
	s.Named(party.KindBack, 300, people(1, 3)...)
	err := party.Fold(roster(5), s.Events).CanClose()
	want := "the hike stays open: not accounted for: Walker 04 (out), Walker 05 (never marked here or absent)"
	if err == nil || err.Error() != want {
		t.Fatalf("error = %v, want %s", err, want)
	}
	s.Named(party.KindBack, 310, person(4))
	s.Named(party.KindAbsent, 50, person(5))
	err = party.Fold(roster(5), s.Events).CanClose()
	if err == nil || !strings.Contains(err.Error(), "stood down") {
		t.Errorf("error = %v, want one about standing down", err)
	}
	s.Add(party.KindStoodDown, 320, nil)
	if err := party.Fold(roster(5), s.Events).CanClose(); err != nil {
		t.Errorf("error = %v, want none", err)
	}
}

func TestTroubleStaysUntilUndone(t *testing.T) {
	var s script
	s.Out(4)
	s.Add(party.KindReported, 150, func(e *party.Event) { e.Note, e.Trouble = "broken ankle", true })
	s.Add(party.KindReported, 160, func(e *party.Event) { e.Note = "walking again" })
	if st := party.Fold(roster(4), s.Events); !st.TroubleAt.Equal(clock(150)) || len(st.Reports) != 2 {
		t.Errorf("trouble at %v with %d reports; want the first and both", st.TroubleAt, len(st.Reports))
	}
}

func TestClockChangeDoesNotMoveEvents(t *testing.T) {
	denver, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	var s script
	s.Out(4)
	local := append([]party.Event{}, s.Events...)
	for i := range local {
		local[i].At = local[i].At.In(denver)
	}
	if diff := diffStates(party.Fold(roster(4), s.Events), party.Fold(roster(4), local)); diff != "" {
		t.Errorf("zone of the device changed the state:\n%s", diff)
	}
}
