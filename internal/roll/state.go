package roll

import (
	"slices"
	"time"

	"saltbush/internal/unit"
)

// Whereabouts says where the roll believes a person to be, in words fit for a screen.
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

// Accounted reports whether nobody needs to ask any further where the person is. Someone
// who was expected and never marked is not accounted for.
func (w Whereabouts) Accounted() bool {
	switch w {
	case WhereAbsent, WhereTurnedAway, WhereAtCar, WhereBack, WhereHandedOver:
		return true
	}
	return false
}

// onTrail reports whether the person has set out and is not known to be off the trail.
func (w Whereabouts) onTrail() bool { return w == WhereOut || w == WhereLeftEarly }

// Seen is a place and a time for which a record by name, or a count that agreed, vouches.
type Seen struct {
	At    time.Time
	Place string
	Along unit.Length
	Event EventID
}

// Person is one line of the roll as it stands.
type Person struct {
	Entry
	Where Whereabouts
	// Since is when Where became so, zero while nothing is recorded.
	Since time.Time
	// Last is the last agreed place and time.
	Last Seen
	// Party is the name of the party that the person walks in, empty while there is one.
	Party string
	// ConfirmBy is when someone who left early is treated as missing unless confirmed at
	// the car; zero where nobody said how long the way is.
	ConfirmBy time.Time
	// WalkUp marks a person who joined without a sign-up, Unknown one whom an event names
	// and neither the roster nor a joining knows.
	WalkUp, Unknown bool
	// Brought is the water that was seen at the trailhead.
	Brought WaterCheck
	// Missing says that a search for the person is open. Confirmed is how their arrival at
	// the car became known, where that was written down.
	Missing   bool
	Confirmed string

	marks marks
	by    EventID // the event that set Where
}

// marks are the facts that the arithmetic of a count stands on.
type marks struct{ out, joined, left, handed bool }

// with reports whether the person belongs to the number that a count should give.
func (m marks) with() bool { return m.walked() && !m.left && !m.handed }

// walked reports whether the person set out at all.
func (m marks) walked() bool { return m.out || m.joined }

// Count is one headcount, or the number of a departure, a split or a rejoining.
type Count struct {
	At    time.Time
	Place string
	Along unit.Length
	// Party is empty for a count of everyone.
	Party string
	// Expected is the number by the roll at that time; Leader and Sweep are the numbers
	// given, zero for none.
	Expected, Leader, Sweep int
	// Agrees says that every number given is the expected one.
	Agrees bool
	Events []EventID
}

// Party is people who walk together after a split.
type Party struct {
	Part
	// Expected is the party's number by the roll as it stands.
	Expected int
	Since    Seen
	// Sound says that the party has its own staff and number.
	Sound bool
}

// Gap is a count that came out low and has not been put right since: where to look first.
type Gap struct {
	// Short is how many are missing of Of.
	Short, Of int
	// Party is the party that came out short, empty for everyone; its way is searched first.
	Party string
	// Candidates are the people who may be missing: those not named in the low count.
	Candidates []PersonID
	// Since is the last place and time where the number was right.
	Since Seen
}

// Delay is one reported delay, as far as it counts.
type Delay struct {
	At time.Time
	By time.Duration
}

// Report is a free message from the trail.
type Report struct {
	At      time.Time
	By      string
	Note    string
	Trouble bool
	Event   EventID
}

// WaterCheck is water that somebody saw. Known is false while nobody looked.
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
	// Against is what stood against leaving; Reason why they left all the same, empty where
	// nobody wrote one.
	Against []string
	Reason  string
	Event   EventID
}

// State is what the events of one roll say together. Make it with Fold.
type State struct {
	// People is everyone on the roster in its order, then walk-ups, then unknown people.
	People []Person
	// Out is the number that left the trailhead: the larger of the number given and the
	// names. Joined, LeftEarly and HandedOver are people counted after that.
	Out, Joined, LeftEarly, HandedOver int
	// Expected is Out + Joined - LeftEarly - HandedOver: what the next count should give.
	Expected int
	// Unnamed is how many left the trailhead beyond those named.
	Unnamed int
	// Departed is the earliest departure on record, zero while none is.
	Departed time.Time
	// Delay is the sum of reported delays since the departure.
	Delay time.Duration
	// Delays are the reports that the sum is made of, in the order of time.
	Delays []Delay
	// Counts are in the order of time.
	Counts  []Count
	Parties []Party
	Gaps    []Gap
	Flags   []Flag
	Reports []Report
	// TroubleAt is when help was first asked for, StoodDown when on-call last ended the
	// watch, LastHeard when the last thing on record happened. Zero for never.
	TroubleAt, StoodDown, LastHeard time.Time
	// Departure is what the first departure says beyond its number.
	Departure Departure
	// Stock is the spare water in the leader's car.
	Stock WaterCheck
	// Searches are in the order in which they began; at most the last is open.
	Searches []Search
	Unwell   []Unwell
	// Thunder lists when it was heard.
	Thunder []time.Time
	Cars    []Car
	// AllAccounted says that no name and no number is left to ask after.
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

// LastAgreed returns the latest count of everyone that agreed: where a search starts.
func (s State) LastAgreed() (Count, bool) {
	for _, c := range slices.Backward(s.Counts) {
		if c.Agrees && c.Party == "" {
			return c, true
		}
	}
	return Count{}, false
}

// OpenFlags returns the flags that nothing has settled.
func (s State) OpenFlags() []Flag {
	return slices.DeleteFunc(slices.Clone(s.Flags), func(f Flag) bool { return f.Settled })
}

// ConfirmBy returns the earliest time by which someone who left early must be confirmed,
// zero where nobody is awaited.
func (s State) ConfirmBy() time.Time {
	var first time.Time
	for _, p := range s.People {
		if p.Where != WhereLeftEarly || p.ConfirmBy.IsZero() {
			continue
		}
		if first.IsZero() || p.ConfirmBy.Before(first) {
			first = p.ConfirmBy
		}
	}
	return first
}
