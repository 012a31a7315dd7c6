package roll

import (
	"strings"
	"time"
)

// FlagKind says what is odd.
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
		FlagLeftAlone, FlagChildAlone, FlagStoodDownEarly, FlagUnknownPerson, FlagMissing, FlagEmergency:
		return true
	}
	return false
}

// ofCount reports whether a later count that agrees settles the flag.
func (k FlagKind) ofCount() bool {
	return k == FlagCountLow || k == FlagCountHigh || k == FlagCountsDiffer
}

// Flag is something odd in the record, for people to settle. The records themselves stay.
type Flag struct {
	Kind FlagKind
	// Grave flags call for action on the trail; the others for a question.
	Grave bool
	At    time.Time
	// Words say it in a sentence without times: the screen adds those in local time.
	Words   string
	Party   string
	Persons []PersonID
	Events  []EventID
	// Settled says that a later count put it right.
	Settled bool
}

func newFlag(k FlagKind, e Event, words string, persons ...PersonID) Flag {
	return Flag{Kind: k, Grave: k.grave(), At: e.At, Words: words, Persons: persons, Events: []EventID{e.ID}}
}

// about adds the other events concerned, each once.
func (f Flag) about(ids ...EventID) Flag {
	for _, id := range ids {
		if id != "" && !hasEvent(f.Events, id) {
			f.Events = append(f.Events, id)
		}
	}
	return f
}

func hasEvent(ids []EventID, id EventID) bool {
	for _, have := range ids {
		if have == id {
			return true
		}
	}
	return false
}

func names(people []*Person) string {
	list := make([]string, len(people))
	for i, p := range people {
		list[i] = p.Name
	}
	return strings.Join(list, ", ")
}

func ids(people []*Person) []PersonID {
	list := make([]PersonID, len(people))
	for i, p := range people {
		list[i] = p.ID
	}
	return list
}

// at names a place in the middle of a sentence.
func at(place string) string {
	if strings.TrimSpace(place) == "" {
		return "a place not given"
	}
	return place
}
