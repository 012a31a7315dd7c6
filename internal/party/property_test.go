package party_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"saltbush/internal/party"
	"saltbush/internal/unit"
)

func diffStates(a, b party.State) string {
	return cmp.Diff(a, b, cmpopts.IgnoreUnexported(party.Person{}), cmpopts.EquateEmpty())
}

const crew = 8

// drawEvent draws any event, valid or not, about people on and off the roster.
func drawEvent(t *rapid.T, n int) party.Event {
	who := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) party.PersonID {
		return person(rapid.IntRange(1, crew+2).Draw(t, "person"))
	}), 0, crew)
	e := party.Event{
		ID:      eventID(n),
		Kind:    rapid.SampledFrom(party.Kinds()).Draw(t, "kind"),
		At:      clock(rapid.IntRange(0, 90).Draw(t, "minute")),
		By:      rapid.SampledFrom([]string{"Walker 01", "Walker 02"}).Draw(t, "by"),
		Persons: who.Draw(t, "persons"),
		Buddies: who.Draw(t, "buddies"),
		Name:    rapid.SampledFrom([]string{"", "Pat Example", "Kit Example"}).Draw(t, "name"),
		Number:  rapid.IntRange(0, crew+2).Draw(t, "number"),
		Sweep:   rapid.IntRange(0, crew+2).Draw(t, "sweep"),
		Minutes: rapid.IntRange(0, 60).Draw(t, "minutes"),
		Place:   rapid.SampledFrom([]string{"", "Wash", "Saddle"}).Draw(t, "place"),
		Party:   rapid.SampledFrom([]string{"", "fast", "slow"}).Draw(t, "party"),
		Trouble: rapid.Bool().Draw(t, "trouble"),
		Litres:  unit.Volume(rapid.IntRange(0, 4).Draw(t, "litres")),
		Step:    rapid.IntRange(1, 11).Draw(t, "step"),
		To:      rapid.SampledFrom(party.NotifyOrder()).Draw(t, "to"),
		Signs:   rapid.SliceOfN(rapid.SampledFrom(party.Signs()), 0, 2).Draw(t, "signs"),
		Factors: rapid.SliceOfN(rapid.SampledFrom(party.Factors()), 0, 2).Draw(t, "factors"),
		Plates:  rapid.SliceOfN(rapid.SampledFrom([]string{"ABC 123", "abc-123", "XYZ 9"}), 0, 2).Draw(t, "plates"),
		Against: rapid.SliceOfN(rapid.SampledFrom([]string{"nobody on call"}), 0, 1).Draw(t, "against"),
	}
	for _, name := range []string{"fast", "slow"} {
		e.Parties = append(e.Parties, party.Part{Name: name, Staff: who.Draw(t, "staff"),
			Persons: who.Draw(t, "part"), Number: rapid.IntRange(0, crew).Draw(t, "part number")})
	}
	if e.Kind == party.KindUndone {
		e.Retracts = eventID(rapid.IntRange(1, 30).Draw(t, "retracts"))
	}
	return e
}

func drawEvents(t *rapid.T) []party.Event {
	events := make([]party.Event, rapid.IntRange(0, 25).Draw(t, "events"))
	for i := range events {
		events[i] = drawEvent(t, i+1)
	}
	return events
}

func shuffled(t *rapid.T, events []party.Event) []party.Event {
	out := append([]party.Event{}, events...)
	seed := rapid.Uint64().Draw(t, "seed")
	rand.New(rand.NewPCG(seed, 1)).Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

func TestOrderOfArrivalChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := drawEvents(t)
		if diff := diffStates(party.Fold(roster(crew), events),
			party.Fold(roster(crew), shuffled(t, events))); diff != "" {
			t.Fatalf("order of arrival changed the state:\n%s", diff)
		}
	})
}

func TestRepeatsChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := drawEvents(t)
		again := append([]party.Event{}, events...)
		for i := range again { // the same record, now with the server's receipt
			again[i].Recorded = again[i].At
		}
		twice := shuffled(t, append(again, events...))
		if diff := diffStates(party.Fold(roster(crew), again), party.Fold(roster(crew), twice)); diff != "" {
			t.Fatalf("a second arrival changed the state:\n%s", diff)
		}
	})
}

func TestTwoRecordsUnderOneIDKeepTheFirstReceived(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first, second := drawEvent(t, 1), drawEvent(t, 1)
		first.Recorded, second.Recorded = clock(100), clock(101)
		first.Note, second.Note = "first", "second"
		got := party.Fold(roster(crew), shuffled(t, []party.Event{second, first}))
		want := party.Fold(roster(crew), []party.Event{first})
		if kindsOf(got.Flags)[party.FlagSameID] != 1 {
			t.Fatalf("flags = %v, want the clash flagged", kindsOf(got.Flags))
		}
		got.Flags, want.Flags = nil, nil
		if diff := diffStates(want, got); diff != "" {
			t.Fatalf("the later record had a say:\n%s", diff)
		}
	})
}

func TestExpectedIsArithmetic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := party.Fold(roster(crew), drawEvents(t))
		if s.Expected != s.Out+s.Joined-s.LeftEarly-s.HandedOver-s.Lost || s.Expected < 0 {
			t.Fatalf("expected %d = %d + %d - %d - %d - %d does not add up",
				s.Expected, s.Out, s.Joined, s.LeftEarly, s.HandedOver, s.Lost)
		}
		out := 0
		for _, p := range s.People {
			if p.Where == party.WhereOut {
				out++
			}
		}
		if out > s.Expected+s.Lost {
			t.Fatalf("%d people are out by name, only %d expected", out, s.Expected)
		}
	})
}

func TestNobodyVanishes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := drawEvents(t)
		undone := map[party.EventID]bool{}
		for _, e := range events {
			if e.Kind == party.KindUndone {
				undone[e.Retracts] = true
			}
		}
		s := party.Fold(roster(crew), events)
		want := map[party.PersonID]bool{}
		for _, p := range roster(crew) {
			want[p.ID] = true
		}
		for _, e := range events {
			if e.Kind == party.KindBack && !undone[e.ID] {
				for _, id := range e.Persons {
					want[id] = true
				}
			}
		}
		seen := map[party.PersonID]int{}
		for _, p := range s.People {
			seen[p.ID]++
		}
		for id := range want {
			if seen[id] != 1 {
				t.Fatalf("%s is on %d lines of the roll, want 1", id, seen[id])
			}
		}
		if s.AllAccounted != (s.CanStandDown() == nil) || s.AllAccounted != (len(s.Missing()) == 0) {
			t.Fatalf("all accounted %v, but missing %v", s.AllAccounted, s.Missing())
		}
	})
}

func TestUndoingEverythingLeavesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := drawEvents(t)
		for i, e := range events {
			if e.Kind == party.KindUndone {
				events[i].Kind = party.KindHere
			}
		}
		all := append([]party.Event{}, events...)
		for i, e := range events {
			all = append(all,
				party.Event{ID: eventID(100 + i), Kind: party.KindUndone, At: clock(i), By: e.By, Retracts: e.ID})
		}
		if diff := diffStates(party.Fold(roster(crew), nil), party.Fold(roster(crew), shuffled(t, all))); diff != "" {
			t.Fatalf("something is left (-none +undone):\n%s", diff)
		}
	})
}

func FuzzFold(f *testing.F) {
	f.Add([]byte("ab"), "here", 3)
	f.Fuzz(func(t *testing.T, who []byte, kind string, number int) {
		var events []party.Event
		for i, b := range who {
			events = append(events,
				party.Event{ID: party.EventID(fmt.Sprint(b % 7)), Kind: party.Kind(kind), At: clock(i),
					Persons: []party.PersonID{party.PersonID(fmt.Sprint(b))}, Number: number,
					Retracts: party.EventID(fmt.Sprint(b % 5))})
		}
		s := party.Fold(roster(3), events)
		if len(s.People) < 3 {
			t.Fatalf("%d people left of 3", len(s.People))
		}
	})
}
