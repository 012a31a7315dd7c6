package heat

import "saltbush/internal/unit"

// NewcomersShare returns how much of an ordinary length somebody new to heat may walk on
// their first, second and later days in it: NIOSH, "Acclimatization" (2017): at most 20 % on
// the first day and 20 % more each day. A day before the first is the first.
func NewcomersShare(day int) unit.Fraction {
	return unit.Fraction(max(1, min(5, day))) / 5
}

// ReturnersShare is the same for somebody who knows heat and was away from it: NIOSH, same
// page: 50, 60, 80 and 100 %.
func ReturnersShare(day int) unit.Fraction {
	steps := [4]unit.Fraction{0.5, 0.6, 0.8, 1}
	return steps[max(1, min(len(steps), day))-1]
}

// Daanen, Racinais and Periard 2018, Sports Medicine 48:409-430: 2.5 % of the adaptation is
// lost for each day without heat (heart rate 2.3 %, core temperature 2.6 %), after at least
// five days of acclimatisation.
const lostEachDay unit.Fraction = 0.025

// AdaptationLeft returns what is left of a full adaptation to heat after days without it.
// Days below zero count as none.
func AdaptationLeft(daysAway int) unit.Fraction {
	return max(0, 1-lostEachDay*unit.Fraction(max(0, daysAway)))
}
