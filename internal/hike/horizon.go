package hike

import (
	"time"

	"saltbush/internal/signup"
)

// How far ahead and back pages and background jobs look. None of these changes a hike or what
// people are told, so the organization cannot set them.
const (
	// PlacesAhead is how far ahead free places are offered and contacts are asked. Our
	// judgment: hikes are posted within a season, so nothing is held or offered beyond it.
	PlacesAhead = 120 * 24 * time.Hour
	// ClashesBack is how far before a day its clashes are looked for. Our judgment: a party
	// that is out overnight can still clash with the next day's hike.
	ClashesBack = 48 * time.Hour
	// ClashesAhead is how many days after a hike its clashes are looked for. Our judgment: the
	// rest that a person needs between two hikes is over by then.
	ClashesAhead = 2
	// CalendarAhead is how far ahead the public calendar looks. Our judgment: half a year.
	CalendarAhead = 180 * 24 * time.Hour
	// DeskBack and DeskAhead are how far a leader's desk looks. Our judgment: one season ahead,
	// and back until the reports are written.
	DeskBack  = 75 * 24 * time.Hour
	DeskAhead = 120 * 24 * time.Hour
)

const (
	// Our judgment: a contact who reads their mail late can still answer on the day after; the
	// answer helps with the next hike.
	contactLinkAfter = 24 * time.Hour
	// Our judgment: a forecast for a day further ahead than this is not worth entering.
	forecastHorizon = 5 * 24 * time.Hour
	// Our judgment: a leader is reminded of the decision from a day before the decision hour
	// until a day after the start, in case it was forgotten.
	decisionNear = 24 * time.Hour
	// Our judgment: what was not settled by the day after belongs to the past.
	pastAfter = 24 * time.Hour
)

// ContactLinkEnds returns when the link expires with which an emergency contact confirms that
// they can be reached.
func (h Hike) ContactLinkEnds() time.Time { return h.Start.Add(contactLinkAfter) }

// WantsForecast reports whether a forecast is missing and worth entering now.
func (h Hike) WantsForecast(now time.Time) bool {
	return h.State == Posted && h.Forecast == nil && now.Before(h.Start) && h.Start.Sub(now) < forecastHorizon
}

// WantsDecision reports whether no decision was made and the decision hour is near or has
// passed.
func (h Hike) WantsDecision(now time.Time) bool {
	return h.AwaitsDecision() && now.After(h.DecideBy().Add(-decisionNear)) && now.Before(h.Start.Add(decisionNear))
}

// Past reports whether the hike belongs to the past, whatever its state.
func (h Hike) Past(now time.Time) bool { return now.After(h.Start.Add(pastAfter)) }

// AsksContacts reports whether it is time to ask the emergency contacts of the hike whether
// they can be reached.
func (h Hike) AsksContacts(now time.Time) bool {
	return h.State == Posted && now.After(h.Meet.Add(-signup.ContactAhead))
}
