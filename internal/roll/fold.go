package roll

import (
	"cmp"
	"slices"
	"time"
)

// Fold says what the events mean together. It is pure: the same set of events gives the
// same state in any order of arrival and with any repeats. It takes whatever it is given;
// odd events are flagged, never dropped in silence.
func Fold(roster Roster, events []Event) State {
	kept, flags := effective(events)
	f := newFolder(roster, kept)
	f.state.Flags = append(f.state.Flags, flags...)
	for _, r := range pairCounts(kept) {
		f.apply(r)
	}
	if len(kept) > 0 {
		f.state.LastHeard = kept[len(kept)-1].At
	}
	return f.finish()
}

// reducer is a state being made.
type reducer struct {
	state State
	index map[PersonID]int
	// number is the largest number given for the departure.
	number int
	// named says that some record of the departure has names.
	named   bool
	departs []Event
	delays  []Event
	stood   EventID
	joins   []Event
	extra   map[string]int // people of a party who are not named
	parted  Event          // the split that stands
}

func newFolder(roster Roster, events []Event) *reducer {
	f := &reducer{index: make(map[PersonID]int, len(roster)), extra: map[string]int{}}
	f.state.People = make([]Person, 0, len(roster)+4)
	for _, entry := range roster {
		entry.ResponsibleFor = slices.Clone(entry.ResponsibleFor) // records at the trailhead add to it
		f.add(Person{Entry: entry, Where: WhereExpected})
		f.knownCar(entry)
	}
	// Walk-ups first: a record about one may carry an earlier time than the joining.
	for _, e := range events {
		if e.Kind == KindJoined {
			f.addWalkUps(e)
		}
		f.named = f.named || e.Kind == KindDeparted && len(e.Persons) > 0
	}
	return f
}

func (f *reducer) add(p Person) {
	if _, known := f.index[p.ID]; known {
		return
	}
	f.index[p.ID] = len(f.state.People)
	f.state.People = append(f.state.People, p)
}

func (f *reducer) addWalkUps(e Event) {
	for _, id := range e.Persons {
		f.add(Person{Entry: Entry{ID: id, Name: e.Name, Minor: e.Minor, Lacks: lacksOfWalkUp(e)}, Where: WhereExpected, WalkUp: true})
	}
}

// people finds the lines of the roll that an event names, each once, and makes lines for
// those it does not know. Pointers hold until the next call.
func (f *reducer) people(e Event, list []PersonID) []*Person {
	for _, id := range list {
		if _, known := f.index[id]; !known {
			f.addUnknown(e, id)
		}
	}
	found := make([]*Person, 0, len(list))
	for _, id := range list {
		p := &f.state.People[f.index[id]]
		if !slices.Contains(found, p) {
			found = append(found, p)
		}
	}
	return found
}

func (f *reducer) addUnknown(e Event, id PersonID) {
	name := "unknown person " + string(id[:min(len(id), 8)])
	f.add(Person{Entry: Entry{ID: id, Name: name}, Where: WhereExpected, Unknown: true})
	f.flag(newFlag(FlagUnknownPerson, e, e.By+" recorded someone who is not on the roll: "+name, id))
}

func (f *reducer) flag(flag Flag) { f.state.Flags = append(f.state.Flags, flag) }

func (f *reducer) apply(r record) {
	e := r.Event
	switch e.Kind {
	case KindHere, KindAbsent, KindTurnedAway, KindAtCar, KindBack, KindHandedOver:
		f.move(e, e.Persons)
	case KindJoined:
		f.joined(e)
	case KindDeparted:
		f.departed(e)
	case KindCounted:
		f.counted(r)
	case KindLeftEarly:
		f.leftEarly(e)
	case KindSplit:
		f.split(e)
	case KindRejoined:
		f.rejoined(e)
	case KindDelayed:
		f.delays = append(f.delays, e)
	case KindReported:
		f.reported(e)
	case KindStoodDown:
		f.state.StoodDown, f.stood = e.At, e.ID
	default:
		if !f.applyMore(e) {
			f.flag(newFlag(FlagUnknownKind, e, "a record of a kind that this version does not know: "+string(e.Kind)))
		}
	}
}

// applyMore takes the records that move nobody.
func (f *reducer) applyMore(e Event) bool {
	switch e.Kind {
	case KindWater, KindStock:
		f.water(e)
	case KindInCharge:
		f.inCharge(e)
	case KindMissing:
		f.missing(e)
	case KindStep, KindFound, KindTold:
		f.search(e)
	case KindUnwell:
		f.unwell(e)
	case KindThunder:
		f.state.Thunder = append(f.state.Thunder, e.At)
	case KindPlate, KindCarGone:
		f.car(e)
	default:
		return false
	}
	return true
}

func (f *reducer) reported(e Event) {
	f.state.Reports = append(f.state.Reports, Report{At: e.At, By: e.By, Note: e.Note, Trouble: e.Trouble, Event: e.ID})
	if e.Trouble && f.state.TroubleAt.IsZero() {
		f.state.TroubleAt = e.At
	}
}

// finish adds what only the whole shows.
func (f *reducer) finish() State {
	f.numbers()
	f.state.Delay = f.delay()
	f.notNamedOut()
	f.childrenAlone()
	f.closeGaps()
	f.partyNumbers()
	f.endSearches()
	f.state.AllAccounted = f.state.Unnamed == 0 && len(f.state.MissingPersons()) == 0
	if !f.state.StoodDown.IsZero() && !f.state.AllAccounted {
		f.flag(Flag{Kind: FlagStoodDownEarly, Grave: true, At: f.state.StoodDown, Events: []EventID{f.stood},
			Words: "stood down, although " + f.state.CanStandDown().Error()})
	}
	slices.SortStableFunc(f.state.Flags, func(a, b Flag) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Kind, b.Kind))
	})
	return f.state
}

// numbers sets the arithmetic of the count from the marks of the people.
func (f *reducer) numbers() {
	s := &f.state
	s.Out, s.Joined, s.LeftEarly, s.HandedOver = 0, 0, 0, 0
	for i := range s.People {
		m := s.People[i].marks
		s.Out += tick(m.out)
		s.Joined += tick(m.joined && !m.out)
		s.LeftEarly += tick(m.left && m.walked())
		s.HandedOver += tick(m.handed && !m.left && m.walked())
	}
	s.Unnamed = max(0, f.number-s.Out)
	// House judgement: the larger of number and names goes. One too many in the book costs
	// a question, one too few can cost a search that starts late.
	s.Out += s.Unnamed
	s.Expected = s.Out + s.Joined - s.LeftEarly - s.HandedOver
}

func tick(b bool) int {
	if b {
		return 1
	}
	return 0
}

// House judgement: two people who record one thing apart do it within this time.
const sameThing = 15 * time.Minute

// delay sums the delays reported. One told before the departure is in the departure's
// own time; of two by different people within a quarter of an hour the longer goes.
func (f *reducer) delay() time.Duration {
	var sum time.Duration
	var last Event
	list := &f.state.Delays
	for _, e := range f.delays {
		if e.At.Before(f.state.Departed) {
			continue
		}
		if last.ID != "" && last.By != e.By && e.At.Sub(last.At) <= sameThing {
			f.flag(newFlag(FlagDuplicate, e, "a delay reported by both "+last.By+" and "+e.By+
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
