package roll

import (
	"slices"
	"strings"
	"time"
)

// Factor makes a search most urgent by itself: the worst rating of any one counts, not the
// sum (search urgency charts as managed search uses them; practice, search urgency).
type Factor string

// The factors that make a desert search urgent at once, after the trade's own list.
const (
	FactorChild    Factor = "a child"
	FactorOld      Factor = "over 70"
	FactorIll      Factor = "ill, or on medicine they need"
	FactorHeat     Factor = "heat"
	FactorNoWater  Factor = "no water"
	FactorDistress Factor = "known to be in distress"
	FactorCliffs   Factor = "cliffs or drops near"
	FactorAlone    Factor = "alone"
)

// Factors lists every factor in the order in which they are asked.
func Factors() []Factor {
	return []Factor{FactorChild, FactorOld, FactorIll, FactorHeat, FactorNoWater, FactorDistress, FactorCliffs, FactorAlone}
}

// SearchSteps are the steps after a count that does not come right, in order. They follow
// the trade's practice for guided groups; the words are ours.
func SearchSteps() []string {
	return []string{
		"Everybody stops, in shade. Ask who walked beside them last, where, when, and what they said.",
		"Count again, by name.",
		"Three whistle blasts, call the name, then be quiet and listen. Repeat.",
		"The sweep and one who knows the way go back to the last place where the count was right, no farther, and are back within about 30 minutes.",
		"A second person waits at the last junction and stays there.",
		"Nobody else moves or looks on their own.",
		"Call for help at the time shown above. Urgency decides it, not patience.",
		"Fill in the hand-over sheet while you wait.",
		"The others walk out with a leader of their own and a count.",
		"Two people stay with water where they were last seen, unless the heat makes that dangerous.",
		"Found: tell the searchers, then on-call, then the family, and write down each time.",
	}
}

// BackCheck is the step whose failing calls for help.
const BackCheck = 4

// BackCheckFor is the longest wait before help is called for somebody who is in no known
// danger. The trade: for a fit, equipped adult on a good trail help is called when the first
// back-check fails, 15 to 30 minutes after the miss (practice, lost participant, step 7).
// House judgement: a check that nobody reports on has failed at the end of that time.
const BackCheckFor = 30 * time.Minute

// Hearers are who is told that the missing are found, in this order.
func Hearers() []string { return []string{"searchers", "on-call", "family"} }

// Search is the looking for people who are missed.
type Search struct {
	Persons []PersonID
	// Number is how many are missed; more than Persons where not all are known by name.
	Number    int
	Began     time.Time
	By        string
	SeenAt    time.Time
	SeenBy    string
	SeenPlace string
	Said      string
	Factors   []Factor
	Steps     []Tick
	Found     []Finding
	Told      []Tick
	// Failed is when the back-check came back without them, zero while it has not.
	Failed time.Time
	// Ended is when the last of them was found or accounted for, zero while one is not.
	Ended  time.Time
	Events []EventID
}

// Tick is one thing done in a search: a step by its number, or a hearer who was told.
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

// CallAt is when help is called: at once where a factor says so, else when the back-check
// fails, and at the latest half an hour after the miss.
func (s Search) CallAt() time.Time {
	switch {
	case s.Urgent():
		return s.Began
	case !s.Failed.IsZero():
		return s.Failed
	}
	return s.Began.Add(BackCheckFor)
}

// Done finds when a step was done.
func (s Search) Done(step int) (Tick, bool) {
	i := slices.IndexFunc(s.Steps, func(t Tick) bool { return t.Step == step })
	if i < 0 {
		return Tick{}, false
	}
	return s.Steps[i], true
}

// NextHearer is who is to be told next, "" when all have been.
func (s Search) NextHearer() string {
	for _, h := range Hearers() {
		if !slices.ContainsFunc(s.Told, func(t Tick) bool { return t.Who == h }) {
			return h
		}
	}
	return ""
}

// Searching returns the search that is open.
func (s State) Searching() (Search, bool) {
	if n := len(s.Searches); n > 0 && s.Searches[n-1].Ended.IsZero() {
		return s.Searches[n-1], true
	}
	return Search{}, false
}

// missing opens a search, or adds to the one that is open.
func (f *reducer) missing(e Event) {
	people := f.people(e, e.Persons)
	open := f.openSearch(e.At)
	if open == nil {
		f.state.Searches = append(f.state.Searches, Search{Began: e.At, By: e.By})
		open = &f.state.Searches[len(f.state.Searches)-1]
	}
	open.add(e)
	for _, p := range people {
		f.factorsOf(open, p)
	}
	open.Number = max(open.Number, e.Number, len(open.Persons))
	words := names(people)
	if words == "" {
		words = plural(max(1, e.Number), "person", "people") + " not known by name"
	}
	f.flag(newFlag(FlagMissing, e, words+": missed by "+e.By+", last seen at "+at(e.Place), ids(people)...))
}

// add takes what a record tells of the miss. What was told first stands.
func (s *Search) add(e Event) {
	s.Persons = union(s.Persons, e.Persons)
	s.Events = append(s.Events, e.ID)
	if s.SeenAt.IsZero() {
		s.SeenAt = e.SeenAt
	}
	s.SeenBy, s.SeenPlace = orElse(s.SeenBy, e.SeenBy), orElse(s.SeenPlace, e.Place)
	s.Said = strings.TrimSpace(s.Said + " " + e.Note)
	for _, x := range e.Factors {
		s.factor(x)
	}
}

func orElse(a, b string) string {
	if a == "" {
		return b
	}
	return a
}

func (s *Search) factor(x Factor) {
	if !slices.Contains(s.Factors, x) {
		s.Factors = append(s.Factors, x)
	}
}

// factorsOf adds what the roll itself knows of a person.
func (f *reducer) factorsOf(s *Search, p *Person) {
	if p.Minor {
		s.factor(FactorChild)
	}
	if p.ActionLine {
		s.factor(FactorIll)
	}
	for _, u := range f.state.Unwell {
		if slices.Contains(u.Persons, p.ID) {
			s.factor(FactorDistress)
		}
	}
}

// openSearch is the last search, if somebody in it was still missed at the time.
func (f *reducer) openSearch(at time.Time) *Search {
	n := len(f.state.Searches)
	if n == 0 {
		return nil
	}
	s := &f.state.Searches[n-1]
	if end := f.endOf(*s); !end.IsZero() && !end.After(at) {
		return nil
	}
	return s
}

// search takes what is done in the search at hand.
func (f *reducer) search(e Event) {
	people := f.people(e, e.Persons) // before all else: whoever is named stays on the roll
	n := len(f.state.Searches)
	if n == 0 {
		f.flag(newFlag(FlagContradiction, e, e.By+" recorded "+recordWord(e.Kind)+", but nobody is recorded missing", e.Persons...))
		return
	}
	s := &f.state.Searches[n-1]
	switch e.Kind {
	case KindStep:
		s.step(e)
	case KindTold:
		f.told(s, e)
	case KindFound:
		for _, p := range people {
			p.Last = seen(e)
			s.Found = append(s.Found, Finding{Person: p.ID, At: e.At, Place: e.Place, By: e.By, Note: e.Note})
		}
	}
}

// step ticks a step once: of two records the earlier stands.
func (s *Search) step(e Event) {
	if e.Step == BackCheck && e.Trouble && s.Failed.IsZero() {
		s.Failed = e.At
	}
	if _, done := s.Done(e.Step); !done {
		s.Steps = append(s.Steps, Tick{Step: e.Step, At: e.At, By: e.By, Note: e.Note})
	}
}

func (f *reducer) told(s *Search, e Event) {
	if next := s.NextHearer(); next != e.To && next != "" {
		f.flag(newFlag(FlagOutOfTurn, e, e.By+" told "+e.To+" before "+next))
	}
	s.Told = append(s.Told, Tick{Who: e.To, At: e.At, By: e.By, Note: e.Note})
}

// endOf is when nobody of the search was missed any more: each was found, or is accounted
// for in another way. Zero while somebody is.
func (f *reducer) endOf(s Search) time.Time {
	var end time.Time
	if s.Number > len(s.Persons) && len(s.Found) < s.Number {
		return end
	}
	for _, id := range s.Persons {
		i := slices.IndexFunc(s.Found, func(x Finding) bool { return x.Person == id })
		p := f.state.People[f.index[id]]
		switch {
		case i >= 0:
			end = later(end, s.Found[i].At)
		case p.Where.Accounted():
			end = later(end, p.Since)
		default:
			return time.Time{}
		}
	}
	return end
}

// endSearches closes what is done with. A search that calls for help is trouble while it
// is open; once everybody is found the clocks go by the plan again.
func (f *reducer) endSearches() {
	for i := range f.state.Searches {
		s := &f.state.Searches[i]
		if s.Ended = f.endOf(*s); !s.Ended.IsZero() {
			f.settleMissing(*s)
			continue
		}
		for _, id := range s.Persons {
			f.state.People[f.index[id]].Missing = !f.wasFound(*s, id) && !f.state.People[f.index[id]].Where.Accounted()
		}
		if s.Urgent() || !s.Failed.IsZero() {
			f.trouble(s.CallAt())
		}
	}
}

func (f *reducer) wasFound(s Search, id PersonID) bool {
	return slices.ContainsFunc(s.Found, func(x Finding) bool { return x.Person == id })
}

func (f *reducer) settleMissing(s Search) {
	for i := range f.state.Flags {
		if fl := &f.state.Flags[i]; fl.Kind == FlagMissing && slices.Contains(s.Events, fl.Events[0]) {
			fl.Settled = true
		}
	}
}

func (f *reducer) trouble(at time.Time) {
	if f.state.TroubleAt.IsZero() || at.Before(f.state.TroubleAt) {
		f.state.TroubleAt = at
	}
}
