package party

import (
	"slices"
	"time"

	"saltbush/internal/unit"
)

// Whereabouts says where the roll believes a person to be. Its text is the word for
// screens.
type Whereabouts string

// The whereabouts, in the order of a hike.
const (
	WhereExpected   Whereabouts = "expected"
	WhereHere       Whereabouts = "here"
	WhereAbsent     Whereabouts = "absent"
	WhereTurnedAway Whereabouts = "turned away"
	WhereOut        Whereabouts = "out"
	WhereLeftEarly  Whereabouts = "left early, not confirmed"
	WhereAtCar      Whereabouts = "left early, safe at the car"
	WhereBack       Whereabouts = "back"
	WhereHandedOver Whereabouts = "with responders"
)

// AllWhereabouts lists every whereabouts in the order of a hike.
func AllWhereabouts() []Whereabouts {
	return []Whereabouts{
		WhereExpected, WhereHere, WhereAbsent, WhereTurnedAway, WhereOut, WhereLeftEarly, WhereAtCar, WhereBack,
		WhereHandedOver,
	}
}

// Accounted reports whether the person is accounted for. Somebody who was expected and
// never marked is not.
func (w Whereabouts) Accounted() bool {
	switch w {
	case WhereAbsent, WhereTurnedAway, WhereAtCar, WhereBack, WhereHandedOver:
		return true
	}
	return false
}

// onTrail reports whether the person has set out and is not known to be off the trail.
func (w Whereabouts) onTrail() bool { return w == WhereOut || w == WhereLeftEarly }

// Sighting is a place and time confirmed by a record by name, or by a count that agreed.
type Sighting struct {
	At    time.Time
	Place string
	Along unit.Length
	Event EventID
}

// Person is one line of the roll as it stands.
type Person struct {
	Entry
	Where Whereabouts
	// Since is when Where last changed, zero while nothing is recorded.
	Since time.Time
	// Last is the last confirmed place and time.
	Last Sighting
	// Party is the name of the party the person walks in, empty while there is only one.
	Party string
	// ConfirmBy is when somebody who left early counts as missing unless confirmed at the
	// car, zero if nobody said how long the walk takes.
	ConfirmBy time.Time
	// WalkUp is set for somebody who joined without a sign-up. Unknown is set for somebody
	// named in an event but neither on the roster nor a walk-up.
	WalkUp, Unknown bool
	// Water is what was seen at the trailhead.
	Water WaterCheck
	// Missing means that a search for the person is open. Confirmed says who confirmed their
	// arrival at the car and how, if that was written down.
	Missing   bool
	Confirmed string

	marks marks
	by    EventID // the event that set Where
}

// Mark returns the event that put the person where they are, the one that an undo takes
// back. It is empty if there is none.
func (p Person) Mark() EventID { return p.by }

// marks are the facts about a person that the expected number is computed from.
type marks struct{ out, joined, left, handed, missing bool }

// with reports whether a count of the party should include the person.
func (m marks) with() bool { return m.walked() && !m.left && !m.handed && !m.missing }

// walked reports whether the person set out at all.
func (m marks) walked() bool { return m.out || m.joined }

// Count is one headcount, or the number given at a departure, a split or a rejoining.
type Count struct {
	At    time.Time
	Place string
	Along unit.Length
	// Party is empty for a count of everyone.
	Party string
	// Expected is the number by the roll at that time. Leader and Sweep are the numbers they
	// gave, zero for none.
	Expected, Leader, Sweep int
	// Agrees is set if every number given is the expected one.
	Agrees bool
	Events []EventID
}

// Group is one party after a split.
type Group struct {
	Part
	// Expected is the group's number by the roll as it stands.
	Expected int
	Since    Sighting
	// Complete is set if the group has staff and a number of its own.
	Complete bool
}

// EarlyGroup is one group of people who left early together.
type EarlyGroup struct {
	Persons []PersonID
	// Left is when and where they left the party, To where they went.
	Left Sighting
	To   string
	By   string
	// Walk is how long they need to the car, zero if nobody said. Nobody is late before ConfirmBy,
	// which is twice that; it is zero without Walk.
	Walk      time.Duration
	ConfirmBy time.Time
	// Open are those of them who are not confirmed at the car.
	Open []PersonID
}

// Gap is a count that came out low and has not been corrected since. It says where to look
// first.
type Gap struct {
	// Short is how many of Of people are missing.
	Short, Of int
	// Party is the party that was short, empty for everyone. Its route is searched first.
	Party string
	// Candidates are the people who may be missing: those not named in the low count.
	Candidates []PersonID
	// Since is the last place and time at which the number was right.
	Since Sighting
}

// Delay is one reported delay, as far as it counts.
type Delay struct {
	At time.Time
	By time.Duration
}

// Report is a message from the trail.
type Report struct {
	At      time.Time
	By      string
	Note    string
	Trouble bool
	Event   EventID
}

// WaterCheck is water that somebody looked at. Known is false if nobody has.
type WaterCheck struct {
	Litres, Gives unit.Volume
	Known         bool
	By            string
	Event         EventID
}

// Departure is how the party left.
type Departure struct {
	At    time.Time
	By    string
	Route Route
	// Against lists the rules the departure broke. Reason is why they left anyway, empty if
	// nobody wrote one.
	Against []string
	Reason  string
	Event   EventID
}

// State is what the events of one roll add up to. Fold makes it.
type State struct {
	// People lists everyone on the roster in its order, then walk-ups, then unknown people.
	People []Person
	// Out is the number that left the trailhead: the number given or the number of names,
	// whichever is larger. Joined, LeftEarly, HandedOver and Lost were counted after that; Lost are
	// those whom a search is open for.
	Out, Joined, LeftEarly, HandedOver, Lost int
	// Expected is Out + Joined - LeftEarly - HandedOver - Lost: what the next count should give.
	Expected int
	// Unnamed is how many people left the trailhead beyond those named.
	Unnamed int
	// Departed is the earliest departure on record, zero if there is none.
	Departed time.Time
	// Delay is the sum of the delays reported since the departure.
	Delay time.Duration
	// Delays are the reports in that sum, in order of time.
	Delays []Delay
	// Counts are in order of time.
	Counts []Count
	// Parties are the groups of an open split, empty while everybody walks together.
	Parties []Group
	// Early are the people who left early, a group for each record, with clocks of their own.
	Early   []EarlyGroup
	Gaps    []Gap
	Flags   []Flag
	Reports []Report
	// TroubleAt is when help was first asked for, StoodDown when on-call last ended the
	// watch, LastHeard the time of the latest event. Each is zero for never.
	TroubleAt, StoodDown, LastHeard time.Time
	// Departure is what the first departure recorded besides its number.
	Departure Departure
	// Stock is the spare water in the leader's car.
	Stock WaterCheck
	// Searches are in the order in which they began; only the last can be open.
	Searches []Search
	Unwell   []Unwell
	// Noted is what was written for rescuers.
	Noted []Noted
	// Thunder lists when it was heard. It moves no clock: staff report the delay.
	Thunder []time.Time
	Cars    []Car
	// AllAccounted is set if every name and every number is accounted for.
	AllAccounted bool
}

// Person finds a line of the roll.
func (s State) Person(id PersonID) (Person, bool) {
	i := slices.IndexFunc(s.People, func(p Person) bool { return p.ID == id })
	if i < 0 {
		return Person{}, false
	}
	return s.People[i], true
}

// LastCount returns the latest headcount.
func (s State) LastCount() (Count, bool) {
	if len(s.Counts) == 0 {
		return Count{}, false
	}
	return s.Counts[len(s.Counts)-1], true
}

// LastAgreed returns the latest count of everyone that agreed. A search starts there.
func (s State) LastAgreed() (Count, bool) {
	for _, c := range slices.Backward(s.Counts) {
		if c.Agrees && c.Party == "" {
			return c, true
		}
	}
	return Count{}, false
}

// Warnings returns the open flags that people have to do something about. Two records that say the
// same are not among them.
func (s State) Warnings() []Flag {
	return slices.DeleteFunc(s.OpenFlags(), func(f Flag) bool { return f.Kind == FlagDuplicate && !f.Grave })
}

// OpenFlags returns the flags that nothing has settled: alarms first, then the grave ones.
func (s State) OpenFlags() []Flag {
	open := slices.DeleteFunc(slices.Clone(s.Flags), func(f Flag) bool { return f.Settled })
	slices.SortStableFunc(open, func(a, b Flag) int {
		return 2*(oneIf(b.Alarm())-oneIf(a.Alarm())) + oneIf(b.Grave) - oneIf(a.Grave)
	})
	return open
}
