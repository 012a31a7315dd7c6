package party_test

import (
	"strings"
	"testing"

	"saltbush/internal/party"
)

// parked is a party of six who are back by name and stood down. Two cars are known from
// sign-ups.
func parked() (party.Roster, *script) {
	var s script
	r := roster(6)
	r[3].Plate, r[4].Plate = "ABC 123", "xyz-9"
	s.Out(6)
	s.Named(party.KindBack, 300, people(1, 6)...)
	s.Add(party.KindStoodDown, 310, nil)
	return r, &s
}

func plates(s *script, k party.Kind, at int, plates ...string) {
	s.Add(k, at, func(e *party.Event) { e.Plates = plates })
}

func TestEveryCarIsAccountedFor(t *testing.T) {
	tests := []struct {
		name      string
		events    func(*script)
		open      []string
		strangers int
	}{
		{"nobody looked", func(*script) {}, []string{"ABC 123 (Walker 04)", "XYZ-9 (Walker 05)"}, 0},
		{"both gone, written in another way", func(s *script) { plates(s, party.KindCarGone, 320, "abc123", "XYZ 9") },
			nil, 0},
		{"one still in the lot", func(s *script) {
			plates(s, party.KindCarGone, 320, "ABC 123")
			plates(s, party.KindPlate, 321, "XYZ 9")
		}, []string{"XYZ-9 (Walker 05)"}, 0},
		{"a stranger's keeps nothing open", func(s *script) {
			plates(s, party.KindCarGone, 320, "ABC 123", "XYZ 9")
			plates(s, party.KindPlate, 321, "FOR 777")
		}, nil, 1},
		{"staff's car, matched at the lot", func(s *script) {
			plates(s, party.KindCarGone, 320, "ABC 123", "XYZ 9")
			s.Add(party.KindPlate, 321, func(e *party.Event) { e.Plates, e.Persons = []string{"LEAD 1"}, people(1, 1) })
		}, []string{"LEAD 1 (Walker 01)"}, 0},
		{"seen after it had gone", func(s *script) {
			plates(s, party.KindCarGone, 320, "ABC 123", "XYZ 9")
			plates(s, party.KindPlate, 330, "ABC 123")
		}, []string{"ABC 123 (Walker 04)"}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, s := parked()
			tt.events(s)
			st := party.Fold(r, s.Events)
			err := st.CanClose()
			if (err == nil) != (len(tt.open) == 0) || len(st.Strangers()) != tt.strangers {
				t.Fatalf("can close: %v, strangers %+v; want open %v, %d strangers",
					err, st.Strangers(), tt.open, tt.strangers)
			}
			for _, words := range tt.open {
				if !strings.Contains(err.Error(), words) {
					t.Errorf("%q does not name %q", err, words)
				}
			}
		})
	}
}

// The car of somebody who never came does not keep the hike open.
func TestCarOfTheAbsentIsNotAwaited(t *testing.T) {
	r := roster(6)
	r[5].Plate = "ABC 123"
	var s script
	s.Out(5)
	s.Named(party.KindAbsent, 60, person(6))
	s.Named(party.KindBack, 300, people(1, 5)...)
	s.Add(party.KindStoodDown, 310, nil)
	if err := party.Fold(r, s.Events).CanClose(); err != nil {
		t.Error(err)
	}
}

func TestCarSeenAfterItHadGoneIsFlagged(t *testing.T) {
	r, s := parked()
	plates(s, party.KindCarGone, 320, "ABC 123")
	plates(s, party.KindPlate, 330, "ABC 123")
	if n := kindsOf(party.Fold(r, s.Events).Flags)[party.FlagCarBack]; n != 1 {
		t.Errorf("%d flags, want one", n)
	}
}

func TestConfirmedAtTheCarByWhom(t *testing.T) {
	var s script
	s.Out(6)
	s.Add(party.KindLeftEarly, 100, func(e *party.Event) {
		e.Persons, e.Buddies, e.Place, e.To, e.Minutes = people(5, 5), people(6, 6), "Wash", "own car", 30
	})
	st := party.Fold(roster(6), s.Events)
	if p, _ := st.Person(person(5)); !p.ConfirmBy.Equal(clock(160)) || p.Last.Place != "Wash" {
		t.Errorf("confirm by %v, last %+v; want twice the walk, from Wash", p.ConfirmBy, p.Last)
	}
	s.Add(party.KindAtCar, 140, func(e *party.Event) { e.Persons, e.Note = people(5, 6), "text from the lot" })
	if p, _ := party.Fold(roster(6), s.Events).Person(person(6)); p.Confirmed != "Walker 01: text from the lot" {
		t.Errorf("confirmed %q", p.Confirmed)
	}
}

func TestTwoRecordsOfOneSplit(t *testing.T) {
	s := script{Events: splitAtNotch(nil)[:3]}
	s.Add(party.KindSplit, 225, func(e *party.Event) {
		e.By, e.Place = "Walker 02", "Notch Junction"
		e.Parties = s.Events[2].Parties
	})
	if n := kindsOf(party.Fold(roster(15), s.Events).Flags)[party.FlagDuplicate]; n != 1 {
		t.Errorf("%d flags, want the two records of one split flagged", n)
	}
}

func TestPlateKey(t *testing.T) {
	for _, tc := range []struct{ name, a, b string }{
		{"case", "kxr 204", "KXR 204"},
		{"blanks and dashes", "KXR-204", " KXR204 "},
		{"the blank of a phone's keyboard", "KXR\u00a0204", "kxr204"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if party.PlateKey(tc.a) != party.PlateKey(tc.b) {
				t.Errorf("%q and %q are one plate: got %q and %q",
					tc.a, tc.b, party.PlateKey(tc.a), party.PlateKey(tc.b))
			}
		})
	}
	if party.PlateKey("KXR 204") == party.PlateKey("KXR 240") {
		t.Error("two plates have one key")
	}
}

// A car that is left for a good reason closes with it, and a driver whose plate nobody knows keeps
// the hike open.
func TestCarsThatStayAndPlatesNobodyKnows(t *testing.T) {
	r := roster(3)
	r[2].Plate, r[1].Drives = "DRY 7", true
	var s script
	s.Out(3)
	s.Named(party.KindBack, 200, people(1, 3)...)
	s.Add(party.KindStoodDown, 210, nil)
	st := party.Fold(r, s.Events)
	if err := st.CanClose(); err == nil || !strings.Contains(err.Error(), "DRY 7") ||
		!strings.Contains(err.Error(), "no license plate known for the car of: Walker 02") {
		t.Errorf("%v; want the car and the missing plate", err)
	}
	s.Add(party.KindCarStays, 220, func(e *party.Event) {
		e.Plates, e.Note = []string{"dry-7"}, "rides home with a friend"
	})
	s.Add(party.KindPlate, 221, func(e *party.Event) { e.Plates, e.Persons = []string{"ASH 1"}, people(2, 2) })
	s.Add(party.KindCarGone, 222, func(e *party.Event) { e.Plates = []string{"ASH 1"} })
	if err := party.Fold(r, s.Events).CanClose(); err != nil {
		t.Errorf("%v; want nothing to keep it open", err)
	}
}
