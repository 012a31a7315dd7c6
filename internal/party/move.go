package party

import "slices"

// transition is what an event makes of a person: where they go, and what is odd about it.
type transition struct {
	to  Whereabouts
	odd FlagKind // empty for a plain move
}

// transitionFor holds the rules of who may go where. In doubt a person stays where somebody
// still has to ask about them.
func transitionFor(k Kind, from Whereabouts) transition {
	switch k {
	case KindHere:
		return toHere(from)
	case KindAbsent:
		return toAbsent(from)
	case KindTurnedAway:
		return toTurnedAway(from)
	case KindDeparted:
		return toOut(from)
	case KindLeftEarly:
		return toLeftEarly(from)
	case KindAtCar:
		return toAtCar(from)
	case KindBack:
		return toBack(from)
	}
	return toHandedOver(from)
}

func toHere(from Whereabouts) transition {
	switch from {
	case WhereExpected, WhereAbsent: // late, within the grace period
		return transition{to: WhereHere}
	case WhereHere:
		return transition{from, FlagDuplicate}
	case WhereTurnedAway:
		return transition{WhereHere, FlagContradiction}
	}
	return transition{to: from} // a tick at the trailhead that arrives late takes nobody off the trail
}

func toAbsent(from Whereabouts) transition {
	switch from {
	case WhereExpected:
		return transition{to: WhereAbsent}
	case WhereAbsent:
		return transition{from, FlagDuplicate}
	}
	return transition{from, FlagContradiction}
}

func toTurnedAway(from Whereabouts) transition {
	switch from {
	case WhereExpected, WhereHere, WhereAbsent:
		return transition{to: WhereTurnedAway}
	case WhereTurnedAway:
		return transition{from, FlagDuplicate}
	}
	return transition{from, FlagContradiction}
}

func toOut(from Whereabouts) transition {
	switch from {
	case WhereExpected, WhereHere:
		return transition{to: WhereOut}
	case WhereAbsent, WhereTurnedAway:
		return transition{WhereOut, FlagContradiction}
	case WhereOut:
		return transition{from, FlagDuplicate}
	}
	return transition{from, FlagContradiction}
}

func toLeftEarly(from Whereabouts) transition {
	switch from {
	case WhereOut:
		return transition{to: WhereLeftEarly}
	case WhereLeftEarly, WhereAtCar:
		return transition{from, FlagDuplicate}
	case WhereExpected, WhereHere:
		return transition{WhereLeftEarly, FlagContradiction}
	}
	return transition{from, FlagContradiction}
}

func toAtCar(from Whereabouts) transition {
	switch from {
	case WhereLeftEarly:
		return transition{to: WhereAtCar}
	case WhereAtCar:
		return transition{from, FlagDuplicate}
	case WhereOut: // safe, though nobody recorded that they left
		return transition{WhereAtCar, FlagContradiction}
	}
	return transition{from, FlagContradiction}
}

func toBack(from Whereabouts) transition {
	switch from {
	case WhereOut, WhereLeftEarly, WhereAtCar, WhereHandedOver:
		return transition{to: WhereBack}
	case WhereBack:
		return transition{from, FlagDuplicate}
	}
	return transition{WhereBack, FlagNeverLeft}
}

func toHandedOver(from Whereabouts) transition {
	switch from {
	case WhereOut, WhereLeftEarly, WhereAtCar, WhereBack, WhereHere:
		return transition{to: WhereHandedOver}
	case WhereHandedOver:
		return transition{from, FlagDuplicate}
	}
	return transition{WhereHandedOver, FlagContradiction}
}

// move moves people by the rules and flags what is odd, with one flag for all people with
// the same problem.
func (r *reducer) move(e Event, list []PersonID) []*Person {
	people := r.people(e, list)
	var odd []oddity
	for _, p := range people {
		t := transitionFor(e.Kind, p.Where)
		if r.disputes(e, p) {
			t.odd = FlagPresence
		} else if e.Kind != KindDeparted {
			r.settlePresence(p.ID)
		}
		if t.odd != "" {
			odd = addOddity(odd, t.odd, p)
		}
		r.place(e, p, t)
		if e.Kind != KindAbsent && e.Kind != KindTurnedAway && e.Kind != KindDeparted {
			r.sawByName(e, []*Person{p})
		}
	}
	for _, o := range odd {
		r.flag(o.flag(e))
	}
	r.checkNumber(e, people)
	return people
}

// oddity collects the people for whom one event is odd in the same way.
type oddity struct {
	kind   FlagKind
	from   Whereabouts
	people []*Person
	before []EventID // the records that the event disagrees with
}

func addOddity(odd []oddity, k FlagKind, p *Person) []oddity {
	for i := range odd {
		if odd[i].kind == k && odd[i].from == p.Where {
			odd[i].people, odd[i].before = append(odd[i].people, p), append(odd[i].before, p.by)
			return odd
		}
	}
	return append(odd, oddity{kind: k, from: p.Where, people: []*Person{p}, before: []EventID{p.by}})
}

// flag describes the oddity for people.
func (o oddity) flag(e Event) Flag {
	words := namesOf(o.people) + ": recorded as " + kindWords(e.Kind)
	switch o.kind {
	case FlagDuplicate:
		words += " more than once"
	case FlagNeverLeft:
		words += ", but never recorded leaving (" + string(o.from) + ")"
	case FlagPresence:
		words = namesOf(o.people) + ": here, by one record, and not here, by another. Look, then settle it"
	default:
		words += " by " + e.By + ", but also as " + string(o.from)
	}
	flag := newFlag(o.kind, e, words, idsOf(o.people)...)
	return flag.about(o.before...)
}

// settlePresence settles a dispute about a person who was recorded since.
func (r *reducer) settlePresence(id PersonID) {
	for i := range r.state.Flags {
		if f := &r.state.Flags[i]; f.Kind == FlagPresence && slices.Contains(f.Persons, id) {
			f.Settled = true
		}
	}
}

// disputes reports whether an event says that a person is here whom somebody else has just marked
// as not here, or the other way around. Somebody who comes late is marked by whoever wrote them off,
// or later than this.
func (r *reducer) disputes(e Event, p *Person) bool {
	opposite := e.Kind == KindHere && p.Where == WhereAbsent || e.Kind == KindAbsent && p.Where == WhereHere
	by, known := r.byID[p.by]
	return opposite && known && by.By != e.By && e.At.Sub(by.At) <= sameThing
}

// place puts one person where a transition takes them, and keeps the last place that an
// event confirms.
func (r *reducer) place(e Event, p *Person, t transition) {
	moved := t.to != p.Where
	if moved {
		p.Where, p.Since, p.by = t.to, e.At, e.ID
	}
	if (moved || t.odd == FlagDuplicate) && e.Kind != KindAbsent {
		p.Last = sightingOf(e)
	}
	p.mark(e)
	if e.Kind == KindAtCar && moved {
		p.Confirmed = e.By
		if e.Note != "" {
			p.Confirmed += ": " + e.Note
		}
	}
}

func sightingOf(e Event) Sighting {
	s := Sighting{At: e.At, Place: e.Place, Along: e.Along, Event: e.ID}
	if e.Kind == KindAtCar && s.Place == "" {
		s.Place = "the car"
	}
	return s
}

// mark updates the facts that the expected number is computed from. Somebody who leaves is
// subtracted from that moment on.
func (p *Person) mark(e Event) {
	switch e.Kind {
	case KindDeparted:
		p.marks.out = true
	case KindLeftEarly, KindAtCar:
		p.marks.left = p.marks.left || p.Where == WhereLeftEarly || p.Where == WhereAtCar
	case KindHandedOver:
		p.marks.handed = true
	}
	if !p.Where.onTrail() {
		p.Party = ""
	}
}

// kindWords writes a kind in the words of the whereabouts it leads to.
func kindWords(k Kind) string {
	switch k {
	case KindTurnedAway:
		return "turned away"
	case KindDeparted:
		return "out"
	case KindLeftEarly:
		return "left early"
	case KindAtCar:
		return "at the car"
	case KindHandedOver:
		return "with responders"
	case KindJoined:
		return "joined"
	}
	return string(k)
}
