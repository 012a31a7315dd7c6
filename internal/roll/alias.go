package roll

import "saltbush/internal/party"

// These names moved to package party. They stay here until their last callers use party.

type (
	Event       = party.Event
	EventID     = party.EventID
	Factor      = party.Factor
	Kind        = party.Kind
	Part        = party.Part
	Person      = party.Person
	PersonID    = party.PersonID
	Roster      = party.Roster
	State       = party.State
	Whereabouts = party.Whereabouts
)

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

var (
	Fold            = party.Fold
	WithoutContacts = party.WithoutContacts
	WithoutNames    = party.WithoutNames
	WithoutPlates   = party.WithoutPlates
)
