package party

import (
	"cmp"
	"slices"
	"time"
)

// Fold computes the state that the events add up to. It is pure: the same set of events
// gives the same state in any order of arrival and with any repeats. It accepts any input;
// odd events are flagged, never dropped.
func Fold(roster Roster, events []Event) State { return FoldWith(roster, Terms{}, events) }

// FoldWith is Fold with what the plan and the house say: heat, dusk and water make a search urgent.
func FoldWith(roster Roster, terms Terms, events []Event) State {
	valid, flags := effective(events)
	r := newReducer(roster, valid)
	r.terms = terms
	r.state.Flags = append(r.state.Flags, flags...)
	for _, rec := range pairCounts(valid) {
		r.apply(rec)
	}
	if len(valid) > 0 {
		r.state.LastHeard = valid[len(valid)-1].At
	}
	return r.finish()
}

// reducer builds a state event by event.
type reducer struct {
	state State
	terms Terms
	index map[PersonID]int
	// number is the largest number given for the departure.
	number int
	// namedOut is set if some departure event has names.
	namedOut  bool
	departs   []Event
	delays    []Event
	stoodDown EventID
	joins     []Event
	byID      map[EventID]Event
	unnamed   map[string]int // people of a group who are not named, by its name
	lastSplit Event          // the split in force
}

func newReducer(roster Roster, events []Event) *reducer {
	r := &reducer{
		index: make(map[PersonID]int, len(roster)), unnamed: map[string]int{},
		byID: make(map[EventID]Event, len(events)),
	}
	r.state.People = make([]Person, 0, len(roster)+4)
	for _, entry := range roster {
		entry.ResponsibleFor = slices.Clone(entry.ResponsibleFor) // in-charge events add to it
		r.add(Person{Entry: entry, Where: WhereExpected})
		r.addCarOf(entry)
	}
	// Walk-ups come first: an event about one may carry an earlier time than the joining.
	for _, e := range events {
		r.byID[e.ID] = e
		if e.Kind == KindJoined {
			r.addWalkUps(e)
		}
		r.namedOut = r.namedOut || e.Kind == KindDeparted && len(e.Persons) > 0
	}
	return r
}

func (r *reducer) add(p Person) {
	if _, known := r.index[p.ID]; known {
		return
	}
	r.index[p.ID] = len(r.state.People)
	r.state.People = append(r.state.People, p)
}

func (r *reducer) addWalkUps(e Event) {
	for _, id := range e.Persons {
		entry := Entry{ID: id, Name: e.Name, Minor: e.Minor, Lacks: lacksOfWalkUp(e)}
		r.add(Person{Entry: entry, Where: WhereExpected, WalkUp: true})
	}
}

// people finds the lines of the roll that an event names, each once, and adds lines for
// people it does not know. The pointers are valid until the next call.
func (r *reducer) people(e Event, list []PersonID) []*Person {
	for _, id := range list {
		if _, known := r.index[id]; !known {
			r.addUnknown(e, id)
		}
	}
	found := make([]*Person, 0, len(list))
	for _, id := range list {
		p := &r.state.People[r.index[id]]
		if !slices.Contains(found, p) {
			found = append(found, p)
		}
	}
	return found
}

func (r *reducer) addUnknown(e Event, id PersonID) {
	name := "unknown person " + string(id[:min(len(id), 8)])
	r.add(Person{Entry: Entry{ID: id, Name: name}, Where: WhereExpected, Unknown: true})
	r.flag(newFlag(FlagUnknownPerson, e, e.By+" recorded someone who is not on the roll: "+name, id))
}

func (r *reducer) flag(flag Flag) { r.state.Flags = append(r.state.Flags, flag) }

func (r *reducer) apply(rec record) {
	e := rec.Event
	switch e.Kind {
	case KindHere, KindAbsent, KindTurnedAway, KindAtCar, KindBack, KindHandedOver:
		r.move(e, e.Persons)
	case KindJoined:
		r.joined(e)
	case KindDeparted:
		r.departed(e)
	case KindCounted:
		r.counted(rec)
	case KindLeftEarly:
		r.leftEarly(e)
	case KindSplit:
		r.split(e)
	case KindRejoined:
		r.rejoined(e)
	case KindDelayed:
		r.delays = append(r.delays, e)
	case KindReported:
		r.reported(e)
	case KindStoodDown:
		r.state.StoodDown, r.stoodDown = e.At, e.ID
	default:
		if !r.applyRest(e) {
			r.flag(newFlag(FlagUnknownKind, e,
				"a record of a kind that this version does not know: "+string(e.Kind)))
		}
	}
}

// applyRest applies the events that move nobody. It reports whether it knows the kind.
func (r *reducer) applyRest(e Event) bool {
	switch e.Kind {
	case KindWater, KindStock:
		r.water(e)
	case KindInCharge:
		r.inCharge(e)
	case KindMissing:
		r.missing(e)
	case KindNamed:
		r.named(e)
	case KindStep, KindFound, KindTold:
		r.search(e)
	case KindUnwell:
		r.unwell(e)
	case KindNoted:
		r.noted(e)
	case KindThunder:
		r.state.Thunder = append(r.state.Thunder, e.At)
	case KindPlate, KindCarGone, KindCarStays:
		r.car(e)
	default:
		return false
	}
	return true
}

func (r *reducer) reported(e Event) {
	r.state.Reports = append(r.state.Reports,
		Report{At: e.At, By: e.By, Note: e.Note, Trouble: e.Trouble, Event: e.ID})
	if e.Trouble && r.state.TroubleAt.IsZero() {
		r.state.TroubleAt = e.At
	}
}

// finish adds what follows from all events together.
func (r *reducer) finish() State {
	r.updateNumbers()
	r.state.Delay = r.sumDelays()
	r.flagNotNamedOut()
	r.childrenAlone()
	r.closeGaps()
	r.endSearches()
	r.updateNumbers()
	r.updateGroupNumbers()
	r.openEarly()
	r.state.AllAccounted = r.state.Unnamed == 0 && len(r.state.MissingPersons()) == 0
	if !r.state.StoodDown.IsZero() && !r.state.AllAccounted {
		r.flag(Flag{
			Kind: FlagStoodDownEarly, Grave: true, At: r.state.StoodDown, Events: []EventID{r.stoodDown},
			Words: "stood down, although " + r.state.CanStandDown().Error(),
		})
	}
	slices.SortStableFunc(r.state.Flags, func(a, b Flag) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Kind, b.Kind))
	})
	r.addClaims()
	return r.state
}

// updateNumbers computes the numbers of the state from the marks of its people.
func (r *reducer) updateNumbers() {
	s := &r.state
	s.Out, s.Joined, s.LeftEarly, s.HandedOver, s.Lost = 0, 0, 0, 0, 0
	for i := range s.People {
		m := s.People[i].marks
		s.Out += oneIf(m.out)
		s.Joined += oneIf(m.joined && !m.out)
		s.LeftEarly += oneIf(m.left && m.walked())
		s.HandedOver += oneIf(m.handed && !m.left && m.walked())
		s.Lost += oneIf(m.missing && !m.handed && !m.left && m.walked())
	}
	s.Unnamed = max(0, r.number-s.Out)
	// Our judgment: use the larger of number and names. One too many costs a question, one
	// too few can cost a search that starts late.
	s.Out += s.Unnamed
	rest := s.Out + s.Joined - s.LeftEarly - s.HandedOver - s.Lost
	s.Lost += min(r.lostUnnamed(), rest)
	s.Expected = s.Out + s.Joined - s.LeftEarly - s.HandedOver - s.Lost
}

// Our judgment: two people who record the same thing separately do it within this time.
const sameThing = 15 * time.Minute

// sumDelays adds up the reported delays. A delay from before the departure is already in the
// departure's own time, and without a departure there is nothing to delay. Of two reports by
// different people within a quarter of an hour only the longer counts.
func (r *reducer) sumDelays() time.Duration {
	var sum time.Duration
	var last Event
	list := &r.state.Delays
	for _, e := range r.delays {
		if r.state.Departed.IsZero() || e.At.Before(r.state.Departed) {
			continue
		}
		if last.ID != "" && last.By != e.By && e.At.Sub(last.At) <= sameThing {
			r.flag(newFlag(FlagDuplicate, e, "a delay reported by both "+last.By+" and "+e.By+
				": the longer is counted, not both").about(last.ID))
			more := max(0, e.Minutes-last.Minutes)
			sum += minutes(more)
			(*list)[len(*list)-1].By += minutes(more)
			last.Minutes = max(last.Minutes, e.Minutes)
			continue
		}
		sum += minutes(e.Minutes)
		*list = append(*list, Delay{At: e.At, By: minutes(e.Minutes)})
		last = e
	}
	return sum
}

func minutes(n int) time.Duration { return time.Duration(max(0, n)) * time.Minute }
