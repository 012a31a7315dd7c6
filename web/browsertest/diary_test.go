package browsertest

import (
	"fmt"
	"math/rand/v2"
	"saltbush/internal/party"
	"slices"
	"time"

	"saltbush/internal/unit"
)

// diary writes events one minute after the other, as one phone does.
type diary struct {
	at     time.Time
	events []party.Event
}

func (d *diary) add(k party.Kind, change func(*party.Event)) {
	d.at = d.at.Add(time.Minute)
	e := party.Event{
		ID:    party.EventID(fmt.Sprintf("00000000-0000-4000-9000-%012d", len(d.events)+1)),
		Kind:  k,
		At:    d.at,
		By:    "Ash Moreno",
		Place: "Wash",
	}
	change(&e)
	d.events = append(d.events, e)
}

func (d *diary) people(k party.Kind, ids ...party.PersonID) {
	d.add(k, func(e *party.Event) { e.Persons = ids })
}

// day draws a plausible day: all are marked, they leave, and then things happen that the
// forms of the page can record.
func (d *diary) day(r *rand.Rand, roster party.Roster) {
	var ids []party.PersonID
	for _, e := range roster {
		ids = append(ids, e.ID)
	}
	here := ids[:len(ids)-r.IntN(3)]
	for _, id := range here {
		d.people(party.KindHere, id)
	}
	if r.IntN(2) == 0 {
		d.people(party.KindAbsent, ids[len(here):]...)
	}
	d.add(party.KindWater, func(e *party.Event) {
		e.Persons, e.Litres = drawn(r, here), unit.Volume(r.IntN(40))/10
	})
	d.add(party.KindDeparted, func(e *party.Event) { e.Persons, e.Number = here, len(here) })
	for range 3 + r.IntN(12) {
		d.happens(r, here)
	}
}

// happens draws one thing that happens on the trail.
func (d *diary) happens(r *rand.Rand, here []party.PersonID) {
	some := drawn(r, here)
	switch r.IntN(16) {
	case 0:
		d.add(party.KindCounted, func(e *party.Event) { e.Number, e.Sweep = len(here)-r.IntN(2), r.IntN(len(here)+1) })
	case 1:
		d.add(party.KindLeftEarly, func(e *party.Event) {
			e.Persons, e.Buddies, e.To, e.Minutes = some[:1], some[1:], "car", 40
		})
	case 2:
		d.people(party.KindAtCar, some...)
	case 3, 4:
		d.splits(r, here)
	case 5:
		d.add(party.KindRejoined, func(e *party.Event) {
			e.Parties = []party.Part{{Name: "front", Number: 2}, {Name: "back", Number: 1 + r.IntN(3)}}
		})
	case 6:
		d.add(party.KindMissing, func(e *party.Event) {
			e.Persons = some
			if r.IntN(2) == 0 {
				e.Factors = []party.Factor{party.FactorHeat}
			}
		})
	case 7:
		d.people(party.KindFound, some...)
	case 8:
		d.add(party.KindStep, func(e *party.Event) { e.Step, e.Trouble = party.BackCheck, r.IntN(2) == 0 })
	case 9:
		d.people(party.KindBack, some...)
	case 10:
		d.takesBack(r)
	case 11:
		d.returns(here)
	case 12:
		d.people(party.KindHere, some...)
	case 13:
		d.add(party.KindUnwell, func(e *party.Event) {
			e.Persons, e.Signs = some, []party.Sign{party.Signs()[r.IntN(len(party.Signs()))]}
		})
	case 14:
		d.add(party.KindMissing, func(e *party.Event) { e.Number = 1 + r.IntN(2) })
	case 15:
		d.add(party.KindDelayed, func(e *party.Event) { e.Minutes, e.Note = 20, "slow" })
	}
}

// drawn are one to three of the people.
func drawn(r *rand.Rand, here []party.PersonID) []party.PersonID {
	list := slices.Clone(here)
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return list[:1+r.IntN(3)]
}

func (d *diary) splits(r *rand.Rand, here []party.PersonID) {
	d.add(party.KindSplit, func(e *party.Event) {
		cut := 1 + r.IntN(len(here)-1)
		e.Parties = []party.Part{
			{Name: "front", Persons: here[:cut], Number: r.IntN(len(here))},
			{Name: "back", Persons: here[cut:], Number: len(here) - cut},
		}
	})
}

// takesBack retracts the last event, and now and then the departure.
func (d *diary) takesBack(r *rand.Rand) {
	which := len(d.events) - 1
	if r.IntN(3) == 0 {
		which = slices.IndexFunc(d.events, func(e party.Event) bool { return e.Kind == party.KindDeparted })
	}
	d.add(party.KindUndone, func(e *party.Event) { e.Retracts = d.events[which].ID })
}

// arrives mixes the events up as they reach a server: some twice, some late, some from a clock that
// is ahead.
func (d *diary) arrives(r *rand.Rand) []party.Event {
	var list []party.Event
	for _, e := range d.events {
		if r.IntN(4) == 0 {
			list = append(list, e) // not received yet
		}
		e.Recorded = e.At.Add(time.Duration(r.IntN(90)) * time.Minute)
		if r.IntN(15) == 0 {
			e.Recorded = e.At.Add(-20 * time.Minute)
		}
		list = append(list, e)
	}
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return list
}

// returns has the first who left early join the group again.
func (d *diary) returns(here []party.PersonID) {
	left := map[party.PersonID]bool{}
	for _, e := range d.events {
		for _, id := range append(slices.Clone(e.Persons), e.Buddies...) {
			left[id] = e.Kind == party.KindLeftEarly || e.Kind == party.KindAtCar
		}
	}
	if i := slices.IndexFunc(here, func(id party.PersonID) bool { return left[id] }); i >= 0 {
		d.add(party.KindJoined, func(e *party.Event) { e.Persons, e.Name = here[i:i+1], "back again" })
	}
}
