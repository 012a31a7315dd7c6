package party

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// FlagKind says what is odd. Its text is the word for screens.
type FlagKind string

// The kinds of flag.
const (
	FlagCountLow       FlagKind = "count too low"
	FlagCountHigh      FlagKind = "count too high"
	FlagCountsDiffer   FlagKind = "leader and sweep disagree"
	FlagSplitUnsound   FlagKind = "split without staff or number"
	FlagTwoParties     FlagKind = "person in two parties"
	FlagNumberNames    FlagKind = "number and names differ"
	FlagNotNamedOut    FlagKind = "here but not named at departure"
	FlagNeverLeft      FlagKind = "back but never left"
	FlagLeftAlone      FlagKind = "left early alone"
	FlagChildAlone     FlagKind = "child apart from the responsible adult"
	FlagDuplicate      FlagKind = "recorded twice"
	FlagTwoWalkUps     FlagKind = "two walk-ups of one name"
	FlagContradiction  FlagKind = "records contradict"
	FlagPresence       FlagKind = "here and not here"
	FlagSeenMissing    FlagKind = "missing, and seen by somebody"
	FlagUnknownPerson  FlagKind = "person not on the roll"
	FlagSameID         FlagKind = "two records under one id"
	FlagUndo           FlagKind = "undo that undoes nothing"
	FlagClock          FlagKind = "device clock ahead"
	FlagUnknownKind    FlagKind = "record of an unknown kind"
	FlagStoodDownEarly FlagKind = "stood down with people unaccounted for"
	FlagOneStaff       FlagKind = "party with one of staff alone"
	FlagNoMeeting      FlagKind = "split without place and time to meet"
	FlagAgainst        FlagKind = "left against the rules for leaving"
	FlagWater          FlagKind = "water recorded differently"
	FlagMissing        FlagKind = "somebody is missing"
	FlagEmergency      FlagKind = "somebody shows signs of an emergency"
	FlagCarBack        FlagKind = "car seen after it had gone"
	FlagOutOfTurn      FlagKind = "told out of turn"
)

// grave reports whether the people on the trail should stop and sort it out now.
func (k FlagKind) grave() bool {
	switch k {
	case FlagCountLow, FlagCountHigh, FlagCountsDiffer, FlagSplitUnsound, FlagNotNamedOut,
		FlagLeftAlone, FlagPresence, FlagSeenMissing,
		FlagChildAlone, FlagStoodDownEarly, FlagUnknownPerson, FlagMissing, FlagEmergency:
		return true
	}
	return false
}

// ofCount reports whether a later count that agrees settles the flag.
func (k FlagKind) ofCount() bool {
	return k == FlagCountLow || k == FlagCountHigh || k == FlagCountsDiffer
}

// Flag is something odd in the events, for people to settle. The events themselves stay.
type Flag struct {
	Kind FlagKind
	// Grave flags call for action on the trail, the others for a question.
	Grave bool
	At    time.Time
	// Words describes it in a sentence without times; screens add those in local time.
	Words   string
	Party   string
	Persons []PersonID
	Events  []EventID
	// Claims are those of the events that are on the roll, by their time: who said what and when.
	Claims []Claim
	// Settled means that a later event put it right.
	Settled bool
}

// Claim is one record that a flag is about. Undoing it settles a flag that has two.
type Claim struct {
	Event EventID
	Kind  Kind
	At    time.Time
	By    string
}

// Alarm reports whether the flag is about somebody in danger. Screens show such flags above all
// others.
func (f Flag) Alarm() bool { return f.Kind == FlagMissing || f.Kind == FlagEmergency }

// Conflict reports whether two records say what cannot both be true, so that undoing one of them
// settles it.
func (f Flag) Conflict() bool {
	switch f.Kind {
	case FlagPresence, FlagSeenMissing, FlagContradiction:
		return len(f.Claims) == 2
	}
	return false
}

// addClaims gives each flag its records.
func (r *reducer) addClaims() {
	for i := range r.state.Flags {
		f := &r.state.Flags[i]
		for _, id := range f.Events {
			if e, known := r.byID[id]; known {
				f.Claims = append(f.Claims, Claim{Event: e.ID, Kind: e.Kind, At: e.At, By: e.By})
			}
		}
		slices.SortStableFunc(f.Claims, func(a, b Claim) int { return a.At.Compare(b.At) })
	}
}

func newFlag(k FlagKind, e Event, words string, persons ...PersonID) Flag {
	return Flag{Kind: k, Grave: k.grave(), At: e.At, Words: words, Persons: persons, Events: []EventID{e.ID}}
}

// about adds the other events concerned, each once.
func (f Flag) about(ids ...EventID) Flag {
	for _, id := range ids {
		if id != "" && !slices.Contains(f.Events, id) {
			f.Events = append(f.Events, id)
		}
	}
	return f
}

// ofParty names the party that the flag is about.
func (f Flag) ofParty(name string) Flag {
	f.Party = name
	return f
}

func namesOf(people []*Person) string {
	list := make([]string, len(people))
	for i, p := range people {
		list[i] = p.Name
	}
	return strings.Join(list, ", ")
}

func idsOf(people []*Person) []PersonID {
	list := make([]PersonID, len(people))
	for i, p := range people {
		list[i] = p.ID
	}
	return list
}

// PlaceWords names a place in the middle of a sentence, also one that nobody gave.
func PlaceWords(place string) string {
	if strings.TrimSpace(place) == "" {
		return "a place not given"
	}
	return place
}

// PartyWords names a party in a sentence, "the group" for everyone.
func PartyWords(party string) string {
	switch {
	case party == "":
		return "the group"
	case strings.HasSuffix(party, "party"):
		return "the " + party
	}
	return "the " + party + " party"
}

// PeopleWords writes a number of people. Package format writes the figures of screens; it
// is not imported here, so that a phone need not load it.
func PeopleWords(n int) string { return countWords(n, "person", "people") }

// countWords writes a number with its noun.
func countWords(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// oneIf is 1 if b is true, else 0.
func oneIf(b bool) int {
	if b {
		return 1
	}
	return 0
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
