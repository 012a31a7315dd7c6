package heat

import (
	"math"

	"saltbush/internal/unit"
)

// Our judgment: the range of work for the limits. NIOSH draws its curves from 100 to 500 kcal/h (116 to 580 W). A
// steep climb under load exceeds that; the curves are extended, since they only get stricter. Work below 100 W counts
// as 100 W.
const (
	lightest unit.Power = 100
	hardest  unit.Power = 1500
)

// LimitSource explains both limits in a plan.
const LimitSource = "NIOSH 2016-106, section 8.1: RAL = 59.9 - 14.1 log10 M, REL = 56.7 - 11.5 log10 M, " +
	"means over an hour"

// AlertLimit returns the highest WBGT, as a mean over an hour, at which people who are not
// acclimatized may work at the metabolic rate given: the recommended alert limit (NIOSH
// 2016-106, section 8.1). A rate that is not a number gets the strictest.
func AlertLimit(m unit.Power) unit.Temperature {
	return unit.Celsius(59.9 - 14.1*decades(m))
}

// ExposureLimit is the same for acclimatized people: the recommended exposure limit (NIOSH
// 2016-106, section 8.1).
func ExposureLimit(m unit.Power) unit.Temperature {
	return unit.Celsius(56.7 - 11.5*decades(m))
}

func decades(m unit.Power) float64 {
	if !(m <= hardest) { // also not a number
		m = hardest
	}
	return math.Log10(max(lightest, m).Watts())
}

// Rung is what a felt temperature allows, as shown to people.
type Rung string

// The rungs, from cool to hot. Shorter or earlier also requires ten minutes of shade an hour and spare water; short
// only requires acclimatized people and extra staff.
const (
	Normal           Rung = "normal"
	ShorterOrEarlier Rung = "shorter or earlier"
	ShortOnly        Rung = "short only"
	Cancel           Rung = "cancel"
)

// Ladder holds the felt temperatures at which the rungs begin, and how much full sun adds to the felt temperature in
// shade. They are settings of the organization, not law. No plan uses FullSun: the WBGT includes the Sun.
type Ladder struct {
	ShorterFrom, ShortOnlyFrom, CancelFrom unit.Temperature
	FullSun                                unit.Temperature // a difference, in kelvins
}

// hair is a billionth of a kelvin: converting a forecast between units must not move it below an edge.
const hair unit.Temperature = 1e-9

// Rung returns the rung of the highest felt temperature on the way. An edge belongs to the hotter rung. A temperature
// that is not a number means cancel: missing data is not cool.
func (l Ladder) Rung(felt unit.Temperature) Rung {
	switch {
	case felt < l.ShorterFrom-hair:
		return Normal
	case felt < l.ShortOnlyFrom-hair:
		return ShorterOrEarlier
	case felt < l.CancelFrom-hair:
		return ShortOnly
	default:
		return Cancel
	}
}
