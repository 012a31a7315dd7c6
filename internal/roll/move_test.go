package roll_test

import (
	"testing"

	"saltbush/internal/roll"
)

func TestWhereabouts(t *testing.T) {
	tests := []struct {
		name string
		add  func(*script)
		want roll.Whereabouts
		flag roll.FlagKind
	}{
		{"nothing", func(*script) {}, roll.WhereOut, ""},
		{"back", func(s *script) { s.named(roll.KindBack, 300, person(4)) }, roll.WhereBack, ""},
		{"left early alone", func(s *script) { s.named(roll.KindLeftEarly, 100, person(4)) }, roll.WhereLeftEarly, roll.FlagLeftAlone},
		{"left and at the car", func(s *script) {
			s.named(roll.KindLeftEarly, 100, person(4), person(5))
			s.named(roll.KindAtCar, 150, person(4))
		}, roll.WhereAtCar, ""},
		{"left and rejoined", func(s *script) {
			s.named(roll.KindLeftEarly, 100, person(4), person(5))
			s.named(roll.KindJoined, 150, person(4))
		}, roll.WhereOut, ""},
		{"absent after leaving", func(s *script) { s.named(roll.KindAbsent, 70, person(4)) }, roll.WhereOut, roll.FlagContradiction},
		{"turned away after leaving", func(s *script) { s.named(roll.KindTurnedAway, 70, person(4)) }, roll.WhereOut, roll.FlagContradiction},
		{"at the car without leaving", func(s *script) { s.named(roll.KindAtCar, 150, person(4)) }, roll.WhereAtCar, roll.FlagContradiction},
		{"handed over", func(s *script) { s.named(roll.KindHandedOver, 150, person(4)) }, roll.WhereHandedOver, ""},
		{"back twice", func(s *script) {
			s.named(roll.KindBack, 300, person(4))
			s.named(roll.KindBack, 301, person(4))
		}, roll.WhereBack, roll.FlagDuplicate},
		{"left after back", func(s *script) {
			s.named(roll.KindBack, 300, person(4))
			s.named(roll.KindLeftEarly, 301, person(4), person(5))
		}, roll.WhereBack, roll.FlagContradiction},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.out(6)
			tt.add(&s)
			st := roll.Fold(roster(6), s.events)
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
		flag roll.FlagKind
	}{
		{"here but not named", func(s *script) { s.named(roll.KindHere, 50, person(6)) }, roll.FlagNotNamedOut},
		{"back but never left", func(s *script) { s.named(roll.KindBack, 300, person(6)) }, roll.FlagNeverLeft},
		{"nobody knows them", func(s *script) { s.named(roll.KindBack, 300, person(99)) }, roll.FlagUnknownPerson},
		{"two departures", func(s *script) {
			s.add(roll.KindDeparted, 66, func(e *roll.Event) { e.By, e.Number, e.Persons = "Walker 02", 6, people(1, 6) })
		}, roll.FlagNumberNames},
		{"one walk-up under two ids", func(s *script) {
			for i, id := range people(20, 21) {
				s.add(roll.KindJoined, 80+i, func(e *roll.Event) { e.Name, e.Persons = "Pat Example", []roll.PersonID{id} })
			}
		}, roll.FlagTwoWalkUps},
		{"undo of nothing", func(s *script) {
			s.add(roll.KindUndone, 80, func(e *roll.Event) { e.Retracts = eventID(77) })
		}, roll.FlagUndo},
		{"clock ahead", func(s *script) {
			s.add(roll.KindReported, 80, func(e *roll.Event) { e.Note, e.Recorded = "fine", clock(70) })
		}, roll.FlagClock},
		{"stood down too soon", func(s *script) { s.add(roll.KindStoodDown, 400, nil) }, roll.FlagStoodDownEarly},
		{"kind of a later version", func(s *script) { s.add("floated", 400, nil) }, roll.FlagUnknownKind},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s script
			s.out(5)
			tt.add(&s)
			if got := kindsOf(roll.Fold(roster(6), s.events).Flags); got[tt.flag] != 1 {
				t.Errorf("flags = %v, want one %q", got, tt.flag)
			}
		})
	}
}

func TestChildApartFromTheResponsibleAdult(t *testing.T) {
	r := roster(6)
	r[4].ResponsibleFor = []roll.PersonID{person(6)}
	var s script
	s.out(6)
	together := roll.Fold(r, s.events)
	s.named(roll.KindLeftEarly, 100, person(5), person(4))
	apart := roll.Fold(r, s.events)
	if n := kindsOf(together.Flags)[roll.FlagChildAlone]; n != 0 {
		t.Errorf("together: %d flags, want none", n)
	}
	if n := kindsOf(apart.Flags)[roll.FlagChildAlone]; n != 1 {
		t.Errorf("adult left: %d flags, want one", n)
	}
}
