package roll_test

import (
	"strings"
	"testing"

	"saltbush/internal/roll"
)

// parked is a party of six back by name and stood down, with two cars known from
// sign-ups, and a third seen in the lot.
func parked() (roll.Roster, *script) {
	var s script
	r := roster(6)
	r[3].Plate, r[4].Plate = "ABC 123", "xyz-9"
	s.out(6)
	s.named(roll.KindBack, 300, people(1, 6)...)
	s.add(roll.KindStoodDown, 310, nil)
	return r, &s
}

func plates(s *script, k roll.Kind, at int, plates ...string) {
	s.add(k, at, func(e *roll.Event) { e.Plates = plates })
}

func TestEveryCarIsAccountedFor(t *testing.T) {
	tests := []struct {
		name      string
		events    func(*script)
		open      []string
		strangers int
	}{
		{"nobody looked", func(*script) {}, []string{"ABC 123 (Walker 04)", "XYZ-9 (Walker 05)"}, 0},
		{"both gone, written in another way", func(s *script) { plates(s, roll.KindCarGone, 320, "abc123", "XYZ 9") }, nil, 0},
		{"one still in the lot", func(s *script) {
			plates(s, roll.KindCarGone, 320, "ABC 123")
			plates(s, roll.KindPlate, 321, "XYZ 9")
		}, []string{"XYZ-9 (Walker 05)"}, 0},
		{"a stranger's keeps nothing open", func(s *script) {
			plates(s, roll.KindCarGone, 320, "ABC 123", "XYZ 9")
			plates(s, roll.KindPlate, 321, "FOR 777")
		}, nil, 1},
		{"staff's car, matched at the lot", func(s *script) {
			plates(s, roll.KindCarGone, 320, "ABC 123", "XYZ 9")
			s.add(roll.KindPlate, 321, func(e *roll.Event) { e.Plates, e.Persons = []string{"LEAD 1"}, people(1, 1) })
		}, []string{"LEAD 1 (Walker 01)"}, 0},
		{"seen after it had gone", func(s *script) {
			plates(s, roll.KindCarGone, 320, "ABC 123", "XYZ 9")
			plates(s, roll.KindPlate, 330, "ABC 123")
		}, []string{"ABC 123 (Walker 04)"}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, s := parked()
			tt.events(s)
			st := roll.Fold(r, s.events)
			err := st.CanClose()
			if (err == nil) != (len(tt.open) == 0) || len(st.Strangers()) != tt.strangers {
				t.Fatalf("can close: %v, strangers %+v; want open %v, %d strangers", err, st.Strangers(), tt.open, tt.strangers)
			}
			for _, words := range tt.open {
				if !strings.Contains(err.Error(), words) {
					t.Errorf("%q does not name %q", err, words)
				}
			}
		})
	}
}

// The car of somebody who never came is nobody's care.
func TestCarOfTheAbsentIsNotAwaited(t *testing.T) {
	r := roster(6)
	r[5].Plate = "ABC 123"
	var s script
	s.out(5)
	s.named(roll.KindAbsent, 60, person(6))
	s.named(roll.KindBack, 300, people(1, 5)...)
	s.add(roll.KindStoodDown, 310, nil)
	if err := roll.Fold(r, s.events).CanClose(); err != nil {
		t.Error(err)
	}
}

func TestCarSeenAfterItHadGoneIsFlagged(t *testing.T) {
	r, s := parked()
	plates(s, roll.KindCarGone, 320, "ABC 123")
	plates(s, roll.KindPlate, 330, "ABC 123")
	if n := kindsOf(roll.Fold(r, s.events).Flags)[roll.FlagCarBack]; n != 1 {
		t.Errorf("%d flags, want one", n)
	}
}

func TestConfirmedAtTheCarByWhom(t *testing.T) {
	var s script
	s.out(6)
	s.add(roll.KindLeftEarly, 100, func(e *roll.Event) {
		e.Persons, e.Buddies, e.Place, e.To, e.Minutes = people(5, 5), people(6, 6), "Wash", "own car", 30
	})
	st := roll.Fold(roster(6), s.events)
	if p, _ := st.Person(person(5)); !p.ConfirmBy.Equal(clock(160)) || p.Last.Place != "Wash" {
		t.Errorf("confirm by %v, last %+v; want twice the walk, from Wash", p.ConfirmBy, p.Last)
	}
	s.add(roll.KindAtCar, 140, func(e *roll.Event) { e.Persons, e.Note = people(5, 6), "text from the lot" })
	if p, _ := roll.Fold(roster(6), s.events).Person(person(6)); p.Confirmed != "Walker 01: text from the lot" {
		t.Errorf("confirmed %q", p.Confirmed)
	}
}

func TestTwoRecordsOfOneSplit(t *testing.T) {
	s := script{events: splitAtNotch(nil)[:3]}
	s.add(roll.KindSplit, 225, func(e *roll.Event) {
		e.By, e.Place = "Walker 02", "Notch Junction"
		e.Parties = s.events[2].Parties
	})
	if n := kindsOf(roll.Fold(roster(15), s.events).Flags)[roll.FlagDuplicate]; n != 1 {
		t.Errorf("%d flags, want the two records of one split flagged", n)
	}
}
