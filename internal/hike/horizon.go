package hike

import (
	"time"

	"saltbush/internal/signup"
)

// How far pages and the program's own rounds look. None of them changes what a hike is or
// what people are told, so they are no settings of the house.
const (
	// PlacesAhead is how far ahead free places are offered on and contacts are asked. House
	// judgement: hikes are posted within a season; beyond it nothing is held or offered.
	PlacesAhead = 120 * 24 * time.Hour
	// ClashesBack is how far before a day its clashes are looked for. House judgement: a
	// party that is out overnight can still clash with the next day's hike.
	ClashesBack = 48 * time.Hour
	// ClashesAhead is how many days after a hike. House judgement: the rest that a person
	// needs between two hikes is over by then.
	ClashesAhead = 2
	// CalendarAhead is how far ahead the public calendar looks. House judgement: half a year.
	CalendarAhead = 180 * 24 * time.Hour
	// DeskBack and DeskAhead are how far a leader's home looks. House judgement: one season
	// ahead, and back until its reports are written.
	DeskBack  = 75 * 24 * time.Hour
	DeskAhead = 120 * 24 * time.Hour
)

const (
	// House judgement: a contact who reads their mail late still says so on the day after, and
	// the answer serves the next hike.
	contactLinkAfter = 24 * time.Hour
	// House judgement: a forecast further ahead than this is not worth typing.
	forecastHorizon = 5 * 24 * time.Hour
	// House judgement: a leader is reminded of the decision for a day before its hour, and
	// for a day after the start, when it was forgotten.
	decisionNear = 24 * time.Hour
	// House judgement: what was not settled by the day after belongs to the past.
	pastAfter = 24 * time.Hour
)

// ContactLinkEnds is when the link ends by which an emergency contact says that they can be
// reached.
func (h Hike) ContactLinkEnds() time.Time { return h.Start.Add(contactLinkAfter) }

// WantsForecast reports whether a forecast is worth typing now and none was.
func (h Hike) WantsForecast(now time.Time) bool {
	return h.State == Posted && h.Forecast == nil && now.Before(h.Start) && h.Start.Sub(now) < forecastHorizon
}

// WantsDecision reports whether the go decision is open and its hour is near, or has passed.
func (h Hike) WantsDecision(now time.Time) bool {
	return h.AwaitsDecision() && now.After(h.DecideBy().Add(-decisionNear)) && now.Before(h.Start.Add(decisionNear))
}

// Past reports whether the hike belongs to the past, whatever its state.
func (h Hike) Past(now time.Time) bool { return now.After(h.Start.Add(pastAfter)) }

// AsksContacts reports whether it is time to ask the emergency contacts of the hike
// whether they can be reached.
func (h Hike) AsksContacts(now time.Time) bool {
	return h.State == Posted && now.After(h.Meet.Add(-signup.ContactAhead))
}
