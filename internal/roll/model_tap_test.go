package roll_test

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/unit"
)

// What people mostly record in each part of a morning. Every word of a list is equally
// likely, and one event in eight is of any kind at all.
const (
	atTheSign  = "here here here here absent joined turned-away here undone water stock in-charge plate-seen"
	settingOut = "departed departed here joined counted"
	onTheWay   = `counted counted counted delayed left-early at-car split rejoined rejoined reported joined joined
		undone undone handed-over missing search-step found told unwell thunder`
	comingHome = "rejoined back back back back at-car counted stood-down undone handed-over found car-gone plate-seen"
)

// modelKinds lists the kinds that the model plays, by their texts on the wire.
func modelKinds() []party.Kind {
	var list []party.Kind
	for _, k := range strings.Fields(`here absent joined turned-away departed counted left-early at-car split rejoined
		delayed back handed-over reported stood-down undone
		water stock in-charge missing search-step found told unwell noted thunder plate-seen car-gone`) {
		list = append(list, party.Kind(k))
	}
	return list
}

// tap records one event on the phone.
func (p *phone) tap(progress float64) {
	w := p.world
	words := onTheWay
	switch {
	case progress < 0.3:
		words = atTheSign
	case progress < 0.4:
		words = settingOut
	case progress > 0.75:
		words = comingHome
	}
	list := strings.Fields(words)
	kind := party.Kind(list[w.dice.IntN(len(list))])
	if w.chance(12) {
		all := modelKinds()
		kind = all[w.dice.IntN(len(all))]
	}
	e := p.record(kind)
	if w.chance(2) {
		e.Number = -1
	}
	// Only two mistakes are ever made: a negative number, and somebody in their own charge.
	bad := e.Number < 0 || len(e.Buddies) == 1 && e.Kind == party.KindInCharge && e.Buddies[0] == e.Persons[0]
	p.entries = append(p.entries, entry{e, "waits"})
	w.book.make(made{event: e, by: p.name, truth: w.now, bad: bad})
}

// record fills in the fields of a kind.
func (p *phone) record(kind party.Kind) party.Event {
	w := p.world
	e := party.Event{ID: w.newEventID(), Kind: kind, At: p.clock(), Device: "phone of " + p.name}
	switch kind {
	case party.KindHere, party.KindAbsent, party.KindAtCar, party.KindBack:
		e.Persons = p.some(4)
	case party.KindTurnedAway:
		e.Persons, e.Note = p.some(2), "sandals"
	case party.KindJoined:
		e.Persons, e.Name = []party.PersonID{p.newcomer()}, fmt.Sprintf("Guest %d", w.dice.IntN(3))
	case party.KindDeparted:
		e.Persons, e.Place = p.at(party.WhereHere), "trailhead"
		e.Number = max(1, len(e.Persons))
		if w.chance(15) { // a number alone
			e.Persons, e.Number = nil, 1+w.dice.IntN(9)
		}
	case party.KindCounted:
		e.Number, e.Sweep, e.Place, e.Along = w.dice.IntN(9), 1+w.dice.IntN(9), "Notch", unit.Length(1500)
	case party.KindLeftEarly:
		e.Persons, e.Buddies, e.Place, e.To, e.Minutes = p.some(1), p.some(1), "Notch", "car", w.dice.IntN(60)
	case party.KindSplit, party.KindRejoined:
		e.Place = "Notch"
		e.Parties = []party.Part{{Name: "fast", Staff: p.some(1), Persons: p.some(3), Number: w.dice.IntN(6)},
			{Name: "slow", Staff: p.some(1), Persons: p.some(3), Number: w.dice.IntN(6)}}
	case party.KindDelayed:
		e.Minutes, e.Note = 5+w.dice.IntN(40), "thunder"
	case party.KindHandedOver:
		e.Persons, e.Place, e.To = p.some(1), "Notch", "county rescue"
	case party.KindReported:
		e.Note, e.Trouble = "word from the trail", w.chance(30)
	case party.KindUndone:
		e.Retracts = p.earlier()
	default:
		p.fillMore(&e)
	}
	return e
}

// fillMore is record for the kinds that move nobody.
func (p *phone) fillMore(e *party.Event) {
	w := p.world
	switch e.Kind {
	case party.KindWater:
		e.Persons, e.Litres = p.some(2), unit.Volume(w.dice.IntN(4))*unit.Litre
	case party.KindStock:
		e.Litres = unit.Volume(w.dice.IntN(9)) * unit.Litre
	case party.KindInCharge:
		two := p.some(2)
		e.Persons, e.Buddies = two[:1], []party.PersonID{two[len(two)-1]}
	case party.KindMissing:
		e.Persons, e.Place, e.SeenBy = p.some(2), "Notch", "somebody"
	case party.KindStep:
		e.Step, e.Trouble = 1+w.dice.IntN(len(party.SearchSteps())), w.chance(30)
	case party.KindFound:
		e.Persons, e.Place = p.some(1), "Notch"
	case party.KindTold:
		e.To = party.NotifyOrder()[w.dice.IntN(len(party.NotifyOrder()))]
	case party.KindNoted:
		e.To, e.Note = party.TopicClothing, "red hat"
	case party.KindUnwell:
		e.Persons, e.Signs = p.some(1), party.Signs()[:1]
	case party.KindPlate, party.KindCarGone:
		e.Plates = []string{fmt.Sprintf("DRY %d", 100+w.dice.IntN(3))}
	}
}

// some picks a few of the people whom the phone shows. It starts from the order of their
// IDs, so that a seed replays.
func (p *phone) some(most int) []party.PersonID {
	all := p.people()
	p.world.dice.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all[:min(len(all), 1+p.world.dice.IntN(most))]
}

func (p *phone) people() []party.PersonID {
	var all []party.PersonID
	for id := range p.view() {
		all = append(all, id)
	}
	slices.Sort(all)
	return all
}

func (p *phone) at(where party.Whereabouts) []party.PersonID {
	var list []party.PersonID // nil if there is nobody, as JSON reads it back
	view := p.view()
	for _, id := range p.people() {
		if view[id] == where {
			list = append(list, id)
		}
	}
	return list
}

// newcomer is a walk-up with a new ID, or now and then somebody who comes back.
func (p *phone) newcomer() party.PersonID {
	if p.world.chance(25) {
		return p.some(1)[0]
	}
	return party.PersonID(fmt.Sprintf("%08x-0000-4000-8000-000000000000", p.world.dice.Uint32()))
}

// earlier is an event to undo: mostly one of the phone's own, sometimes any other, or one
// that does not exist.
func (p *phone) earlier() party.EventID {
	book := p.world.book.made
	for range 6 {
		if len(book) == 0 {
			break
		}
		if m := book[p.world.dice.IntN(len(book))]; m.by == p.name || p.world.chance(20) {
			return m.event.ID
		}
	}
	return "00000000-0000-4000-9000-999999999999"
}

// step lets one thing happen and returns the phone that it happens to.
func (w *world) step(progress float64) *phone {
	w.pass(w.seconds(600))
	if progress > 0.9 && w.chance(3) { // although phones may still hold events
		w.closed, w.server.hike.State = true, hike.Closed
	}
	p := w.phones[w.dice.IntN(len(w.phones))]
	if w.chance(6) {
		p.darkUntil = w.now.Add(time.Duration(w.dice.IntN(150)) * time.Minute)
	}
	switch n := w.dice.IntN(10); {
	case n < 6:
		p.tap(progress)
	case n < 9:
		p.try()
	default:
		p.look()
	}
	return p
}
