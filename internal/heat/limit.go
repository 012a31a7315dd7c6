package heat

import (
	"math"

	"saltbush/internal/unit"
)

// House judgement: the work that the limits are read for. NIOSH draws its curves from 100 to
// 500 kcal/h (116 to 580 W); a steep climb under load goes beyond, where the curves are
// carried on, for they only grow stricter. Lighter work than standing counts as 100 W.
const (
	lightest unit.Power = 100
	hardest  unit.Power = 1500
)

// LimitSource explains both limits in a plan.
const LimitSource = "NIOSH 2016-106, section 8.1: RAL = 59.9 - 14.1 log10 M, REL = 56.7 - 11.5 log10 M, means over an hour"

// AlertLimit returns the highest WBGT, as a mean over an hour, at which people who are not
// acclimatised may work at the metabolic rate given: the recommended alert limit (NIOSH
// 2016-106, section 8.1). A rate that is not a number gets the strictest.
func AlertLimit(m unit.Power) unit.Temperature {
	return unit.Celsius(59.9 - 14.1*decades(m))
}

// ExposureLimit is the same for acclimatised people: the recommended exposure limit (NIOSH
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

// Rung is what a felt temperature allows, in words that people see.
type Rung string

// The rungs, from cool to hot. Shorter or earlier also asks for ten minutes of shade an hour
// and spare water, short only for acclimatised people and extra staff.
const (
	Normal           Rung = "normal"
	ShorterOrEarlier Rung = "shorter or earlier"
	ShortOnly        Rung = "short only"
	Cancel           Rung = "cancel"
)

// Ladder holds the felt temperatures at which each rung begins, and how much full sun adds
// to what is felt in shade. They are settings of the house, not law. No plan reads FullSun:
// what the Sun does to a walker is in the WBGT.
type Ladder struct {
	ShorterFrom, ShortOnlyFrom, CancelFrom unit.Temperature
	FullSun                                unit.Temperature // a difference, in kelvins
}

// hair is a billionth of a kelvin: a forecast that went through two units must not slip
// under the edge it stands on.
const hair unit.Temperature = 1e-9

// Rung returns the rung for the highest felt temperature that anyone meets. An edge belongs
// to the hotter rung, and a temperature that is not a number means cancel: no data is not
// cool.
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
