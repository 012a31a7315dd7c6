package party

import (
	"slices"
	"time"
)

// Factor makes a search urgent on its own. The worst rating of any one factor counts, not
// the sum, as in the urgency charts of managed search.
type Factor string

// The factors that make a desert search urgent at once, after the search and rescue
// practice's own list.
const (
	FactorChild    Factor = "a child"
	FactorOld      Factor = "over 70"
	FactorIll      Factor = "ill, or on medicine they need"
	FactorHeat     Factor = "heat"
	FactorNoWater  Factor = "no water"
	FactorDistress Factor = "known to be in distress"
	FactorCliffs   Factor = "cliffs or drops near"
	FactorAlone    Factor = "alone"
	FactorLittle   Factor = "little water"
	FactorDusk     Factor = "dark within the hour"
)

// Factors lists every factor in the order of the form.
func Factors() []Factor {
	return []Factor{
		FactorChild, FactorOld, FactorIll, FactorHeat, FactorNoWater, FactorLittle, FactorDusk, FactorDistress,
		FactorCliffs, FactorAlone,
	}
}

// SearchSteps are the steps after a count that stays short, in order. They follow the
// practice of guided groups; the wording is ours.
func SearchSteps() []string {
	return []string{
		"Everybody stops, in shade. Ask who walked beside them last, where, when, and what they said.",
		"Count again, by name.",
		"Three whistle blasts, call the name, then be quiet and listen. Repeat.",
		"The sweep and one who knows the way go back to the last place where the count was right, no farther, " +
			"and are back within about 30 minutes.",
		"A second person waits at the last junction and stays there.",
		"Nobody else moves or looks on their own.",
		"Call for help at the time shown above. Urgency decides it, not patience.",
		"Fill in the hand-over sheet while you wait.",
		"The others walk out with a leader of their own and a count.",
		"Two people stay with water where they were last seen, unless the heat makes that dangerous.",
		"Found: tell the searchers, then on-call, then the family, and write down each time.",
	}
}

// BackCheck is the number of the step whose failure means calling for help.
const BackCheck = 4

// BackCheckFor is the longest wait before help is called for somebody who is in no known
// danger. Common practice, no source: for a fit, equipped adult on a good trail help is
// called when the first back-check fails, 15 to 30 minutes after the person is missed. Our
// judgment: a back-check that nobody reports on has failed after this time.
const BackCheckFor = 30 * time.Minute

// RiseEvery is how long a search stays at one urgency. House judgment, from the times that the
// back-check of a guided group takes.
const RiseEvery = 15 * time.Minute

// NotifyOrder lists who is told that the missing are found, in this order.
func NotifyOrder() []string { return []string{"searchers", "on-call", "family"} }

// Search is a search for missing people.
type Search struct {
	Persons []PersonID
	// Number is how many are missing, more than Persons if not all are known by name.
	Number    int
	Began     time.Time
	By        string
	SeenAt    time.Time
	SeenBy    string
	SeenPlace string
	Said      string // what they said before they went missing
	Factors   []Factor
	Steps     []Tick
	Found     []Finding
	// FoundUnnamed is how many of the unnamed were found and are still not known by name.
	FoundUnnamed int
	Told         []Tick // who was told that they are found
	// Failed is when the back-check came back without them, zero if it has not.
	Failed time.Time
	// Risen is when another step failed first, zero if none has.
	Risen time.Time
	// Ended is when the last of them was found or accounted for, zero until then.
	Ended  time.Time
	Events []EventID

	// UnnamedFoundAt is when the last of the unnamed were found by number.
	UnnamedFoundAt time.Time
}

// Tick is one thing done in a search: a step by its number, or somebody who was told.
type Tick struct {
	Step int
	Who  string
	At   time.Time
	By   string
	Note string
}

// Finding is one person found.
type Finding struct {
	Person PersonID
	At     time.Time
	Place  string
	By     string
	Note   string
}

// Urgent reports whether help is called at once.
func (s Search) Urgent() bool { return len(s.Factors) > 0 }

// CallAt is when help is called: at once if any factor applies, else when the back-check
// fails, and at the latest BackCheckFor after the search began. Another failed step brings that
// forward to RiseEvery after it.
func (s Search) CallAt() time.Time {
	if s.Urgent() {
		return s.Began
	}
	call := s.Began.Add(BackCheckFor)
	if !s.Risen.IsZero() {
		call = earlier(call, s.Risen.Add(RiseEvery))
	}
	if !s.Failed.IsZero() {
		call = earlier(call, s.Failed)
	}
	return call
}

// RiseAt is when the search becomes graver although nobody reports anything: RiseEvery after it
// began, or when a step failed, and never after the call.
func (s Search) RiseAt() time.Time {
	at := earlier(s.Began.Add(RiseEvery), s.CallAt())
	if !s.Risen.IsZero() {
		at = earlier(at, s.Risen)
	}
	return at
}

// Open lists those who are still missing by name. Unnamed is how many more are missing whose
// names nobody knows.
func (s Search) Open() (open []PersonID, unnamed int) {
	for _, id := range s.Persons {
		if !s.isFound(id) {
			open = append(open, id)
		}
	}
	return open, s.unnamed()
}

func (s Search) unnamed() int { return max(0, s.Number-len(s.Persons)-s.FoundUnnamed) }

// Done returns the record of a step that was done.
func (s Search) Done(step int) (Tick, bool) {
	i := slices.IndexFunc(s.Steps, func(t Tick) bool { return t.Step == step })
	if i < 0 {
		return Tick{}, false
	}
	return s.Steps[i], true
}

// NextToNotify returns who is to be told next, "" if all have been.
func (s Search) NextToNotify() string {
	for _, who := range NotifyOrder() {
		if !slices.ContainsFunc(s.Told, func(t Tick) bool { return t.Who == who }) {
			return who
		}
	}
	return ""
}

// isFound reports whether the search has found a person.
func (s Search) isFound(id PersonID) bool {
	return slices.ContainsFunc(s.Found, func(x Finding) bool { return x.Person == id })
}

// Searching returns the search that is open.
func (s State) Searching() (Search, bool) {
	if n := len(s.Searches); n > 0 && s.Searches[n-1].Ended.IsZero() {
		return s.Searches[n-1], true
	}
	return Search{}, false
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}
