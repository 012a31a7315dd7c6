package roll

// step is what a record by name makes of a person: where to, and what is odd about it.
type step struct {
	to  Whereabouts
	odd FlagKind
}

// stepOf holds the rules of who may go where. In doubt a person stays where someone still
// has to ask after them.
func stepOf(k Kind, from Whereabouts) step {
	switch k {
	case KindHere:
		return hereStep(from)
	case KindAbsent:
		return absentStep(from)
	case KindTurnedAway:
		return turnedAwayStep(from)
	case KindDeparted:
		return departedStep(from)
	case KindLeftEarly:
		return leftEarlyStep(from)
	case KindAtCar:
		return atCarStep(from)
	case KindBack:
		return backStep(from)
	}
	return handedOverStep(from)
}

func hereStep(from Whereabouts) step {
	switch from {
	case WhereExpected, WhereAbsent: // late, within the grace
		return step{to: WhereHere}
	case WhereHere:
		return step{from, FlagDuplicate}
	case WhereTurnedAway:
		return step{WhereHere, FlagContradiction}
	}
	return step{from, FlagContradiction}
}

func absentStep(from Whereabouts) step {
	switch from {
	case WhereExpected:
		return step{to: WhereAbsent}
	case WhereAbsent:
		return step{from, FlagDuplicate}
	}
	return step{from, FlagContradiction}
}

func turnedAwayStep(from Whereabouts) step {
	switch from {
	case WhereExpected, WhereHere, WhereAbsent:
		return step{to: WhereTurnedAway}
	case WhereTurnedAway:
		return step{from, FlagDuplicate}
	}
	return step{from, FlagContradiction}
}

func departedStep(from Whereabouts) step {
	switch from {
	case WhereExpected, WhereHere:
		return step{to: WhereOut}
	case WhereAbsent, WhereTurnedAway:
		return step{WhereOut, FlagContradiction}
	case WhereOut:
		return step{from, FlagDuplicate}
	}
	return step{from, FlagContradiction}
}

func leftEarlyStep(from Whereabouts) step {
	switch from {
	case WhereOut:
		return step{to: WhereLeftEarly}
	case WhereLeftEarly, WhereAtCar:
		return step{from, FlagDuplicate}
	case WhereExpected, WhereHere:
		return step{WhereLeftEarly, FlagContradiction}
	}
	return step{from, FlagContradiction}
}

func atCarStep(from Whereabouts) step {
	switch from {
	case WhereLeftEarly:
		return step{to: WhereAtCar}
	case WhereAtCar:
		return step{from, FlagDuplicate}
	case WhereOut: // safe, though nobody recorded the leaving
		return step{WhereAtCar, FlagContradiction}
	}
	return step{from, FlagContradiction}
}

func backStep(from Whereabouts) step {
	switch from {
	case WhereOut, WhereLeftEarly, WhereAtCar, WhereHandedOver:
		return step{to: WhereBack}
	case WhereBack:
		return step{from, FlagDuplicate}
	}
	return step{WhereBack, FlagNeverLeft}
}

func handedOverStep(from Whereabouts) step {
	switch from {
	case WhereOut, WhereLeftEarly, WhereAtCar, WhereBack, WhereHere:
		return step{to: WhereHandedOver}
	case WhereHandedOver:
		return step{from, FlagDuplicate}
	}
	return step{WhereHandedOver, FlagContradiction}
}

// oddity gathers the people about whom one record is odd in one way.
type oddity struct {
	kind   FlagKind
	from   Whereabouts
	people []*Person
}

// move takes people along the rules and flags what is odd, one flag for each oddity.
func (f *reducer) move(e Event, list []PersonID) []*Person {
	people := f.people(e, list)
	var odd []oddity
	for _, p := range people {
		st := stepOf(e.Kind, p.Where)
		if st.odd != "" {
			odd = addOddity(odd, st.odd, p)
		}
		f.place(e, p, st)
	}
	for _, o := range odd {
		f.flag(o.flag(e))
	}
	f.namesAgainstNumber(e, people)
	return people
}

func addOddity(odd []oddity, k FlagKind, p *Person) []oddity {
	for i := range odd {
		if odd[i].kind == k && odd[i].from == p.Where {
			odd[i].people = append(odd[i].people, p)
			return odd
		}
	}
	return append(odd, oddity{kind: k, from: p.Where, people: []*Person{p}})
}

// place moves one person and keeps the last place that a record vouches for.
func (f *reducer) place(e Event, p *Person, st step) {
	moved := st.to != p.Where
	if moved {
		p.Where, p.Since, p.by = st.to, e.At, e.ID
	}
	if (moved || st.odd == FlagDuplicate) && e.Kind != KindAbsent {
		p.Last = seen(e)
	}
	f.mark(e, p)
	if e.Kind == KindAtCar && moved {
		p.Confirmed = e.By
		if e.Note != "" {
			p.Confirmed += ": " + e.Note
		}
	}
}

func seen(e Event) Seen {
	s := Seen{At: e.At, Place: e.Place, Along: e.Along, Event: e.ID}
	if e.Kind == KindAtCar && s.Place == "" {
		s.Place = "the car"
	}
	return s
}

// mark keeps the facts of the arithmetic. Those who left are taken off the number at that
// moment, the group's and on-call's alike.
func (f *reducer) mark(e Event, p *Person) {
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

func (o oddity) flag(e Event) Flag {
	words := names(o.people) + ": recorded as " + recordWord(e.Kind)
	switch o.kind {
	case FlagDuplicate:
		words += " more than once"
	case FlagNeverLeft:
		words += ", but never recorded leaving (" + string(o.from) + ")"
	default:
		words += " by " + e.By + ", but also as " + string(o.from)
	}
	flag := newFlag(o.kind, e, words, ids(o.people)...)
	for _, p := range o.people {
		flag = flag.about(p.by)
	}
	return flag
}

// recordWord says a kind in the words of the whereabouts it leads to.
func recordWord(k Kind) string {
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
