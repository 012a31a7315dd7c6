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
