package roll

import "saltbush/internal/party"

// Types of package party by their names of before.
type (
	// Event is party.Event.
	Event = party.Event
	// EventID is party.EventID.
	EventID = party.EventID
	// Factor is party.Factor.
	Factor = party.Factor
	// Kind is party.Kind.
	Kind = party.Kind
	// Part is party.Part.
	Part = party.Part
	// Person is party.Person.
	Person = party.Person
	// PersonID is party.PersonID.
	PersonID = party.PersonID
	// Roster is party.Roster.
	Roster = party.Roster
	// State is party.State.
	State = party.State
	// Whereabouts is party.Whereabouts.
	Whereabouts = party.Whereabouts
)

// Kinds, factors and whereabouts of package party by their names of before.
const (
	BackCheck = party.BackCheck

	FactorHeat    = party.FactorHeat
	FactorNoWater = party.FactorNoWater

	KindAbsent    = party.KindAbsent
	KindAtCar     = party.KindAtCar
	KindBack      = party.KindBack
	KindCarGone   = party.KindCarGone
	KindCounted   = party.KindCounted
	KindDelayed   = party.KindDelayed
	KindDeparted  = party.KindDeparted
	KindFound     = party.KindFound
	KindHere      = party.KindHere
	KindJoined    = party.KindJoined
	KindLeftEarly = party.KindLeftEarly
	KindMissing   = party.KindMissing
	KindPlate     = party.KindPlate
	KindRejoined  = party.KindRejoined
	KindReported  = party.KindReported
	KindSplit     = party.KindSplit
	KindStep      = party.KindStep
	KindStock     = party.KindStock
	KindStoodDown = party.KindStoodDown
	KindUndone    = party.KindUndone
	KindWater     = party.KindWater

	WhereAbsent   = party.WhereAbsent
	WhereAtCar    = party.WhereAtCar
	WhereExpected = party.WhereExpected
	WhereOut      = party.WhereOut
)

// Functions of package party by their names of before.
var (
	Fold            = party.Fold
	WithoutContacts = party.WithoutContacts
	WithoutNames    = party.WithoutNames
	WithoutPlates   = party.WithoutPlates
)
