package party_test

import "saltbush/internal/party/partytest"

var (
	clock   = partytest.Clock
	person  = partytest.Person
	people  = partytest.People
	eventID = partytest.EventID
	roster  = partytest.Roster
	kindsOf = partytest.FlagKinds
)

type script = partytest.Script
