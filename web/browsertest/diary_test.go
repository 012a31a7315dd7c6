package browsertest

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"saltbush/internal/roll"
)

// diary writes events one minute after the other, as one phone does.
type diary struct {
	at     time.Time
	events []roll.Event
}

func (d *diary) add(k roll.Kind, change func(*roll.Event)) {
	d.at = d.at.Add(time.Minute)
	e := roll.Event{
		ID:    roll.EventID(fmt.Sprintf("00000000-0000-4000-9000-%012d", len(d.events)+1)),
		Kind:  k,
		At:    d.at,
		By:    "Ash Moreno",
		Place: "Wash",
	}
	change(&e)
	d.events = append(d.events, e)
}

func (d *diary) people(k roll.Kind, ids ...roll.PersonID) {
	d.add(k, func(e *roll.Event) { e.Persons = ids })
}

// day draws a plausible day: all are marked, they leave, and then things happen that the
// forms of the page can record.
func (d *diary) day(r *rand.Rand, roster roll.Roster) {
	var ids []roll.PersonID
	for _, e := range roster {
		ids = append(ids, e.ID)
	}
	here := ids[:len(ids)-r.IntN(3)]
	for _, id := range here {
		d.people(roll.KindHere, id)
	}
	if r.IntN(2) == 0 {
		d.people(roll.KindAbsent, ids[len(here):]...)
	}
	d.add(roll.KindDeparted, func(e *roll.Event) { e.Persons, e.Number = here, len(here) })
	for range 3 + r.IntN(12) {
		d.happens(r, here)
	}
}

// happens draws one thing that happens on the trail.
func (d *diary) happens(r *rand.Rand, here []roll.PersonID) {
	some := drawn(r, here)
	switch r.IntN(12) {
	case 0:
		d.add(roll.KindCounted, func(e *roll.Event) { e.Number, e.Sweep = len(here)-r.IntN(2), r.IntN(len(here)+1) })
	case 1:
		d.add(roll.KindLeftEarly, func(e *roll.Event) {
			e.Persons, e.Buddies, e.To, e.Minutes = some[:1], some[1:], "car", 40
		})
	case 2:
		d.people(roll.KindAtCar, some...)
	case 3, 4:
		d.splits(r, here)
	case 5:
		d.add(roll.KindRejoined, func(e *roll.Event) {
			e.Parties = []roll.Part{{Name: "front", Number: 2}, {Name: "back", Number: 1 + r.IntN(3)}}
		})
	case 6:
		d.add(roll.KindMissing, func(e *roll.Event) {
			e.Persons = some
			if r.IntN(2) == 0 {
				e.Factors = []roll.Factor{roll.FactorHeat}
			}
		})
	case 7:
		d.people(roll.KindFound, some...)
	case 8:
		d.add(roll.KindStep, func(e *roll.Event) { e.Step, e.Trouble = roll.BackCheck, r.IntN(2) == 0 })
	case 9:
		d.people(roll.KindBack, some...)
	case 10:
		d.takesBack()
	case 11:
		d.returns(here)
	}
}

// drawn are one to three of the people.
func drawn(r *rand.Rand, here []roll.PersonID) []roll.PersonID {
	list := slices.Clone(here)
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return list[:1+r.IntN(3)]
}

func (d *diary) splits(r *rand.Rand, here []roll.PersonID) {
	d.add(roll.KindSplit, func(e *roll.Event) {
		cut := 1 + r.IntN(len(here)-1)
		e.Parties = []roll.Part{
			{Name: "front", Persons: here[:cut], Number: r.IntN(len(here))},
			{Name: "back", Persons: here[cut:], Number: len(here) - cut},
		}
	})
}

// takesBack retracts the last event. A departure is not taken back: what the trail records
// without one is no day that the forms can make, and the phone does not follow it.
func (d *diary) takesBack() {
	last := d.events[len(d.events)-1]
	if last.Kind != roll.KindUndone && last.Kind != roll.KindDeparted {
		d.add(roll.KindUndone, func(e *roll.Event) { e.Retracts = last.ID })
	}
}

// returns has the first who left early join the group again.
func (d *diary) returns(here []roll.PersonID) {
	left := map[roll.PersonID]bool{}
	for _, e := range d.events {
		for _, id := range append(slices.Clone(e.Persons), e.Buddies...) {
			left[id] = e.Kind == roll.KindLeftEarly || e.Kind == roll.KindAtCar
		}
	}
	if i := slices.IndexFunc(here, func(id roll.PersonID) bool { return left[id] }); i >= 0 {
		d.add(roll.KindJoined, func(e *roll.Event) { e.Persons, e.Name = here[i:i+1], "back again" })
	}
}
