package walk

import (
	"math"

	"saltbush/internal/unit"
)

// lorentz is the modified Lorentz travel-rate curve of Campbell, Dennison, Butler and Page
// 2019, Applied Geography 106:93-107: r = c/(pi b (1 + ((t-a)/b)^2)) + d + e t, with t in
// degrees above the level and r in m/s.
type lorentz struct{ a, b, c, d, e float64 }

func (l lorentz) at(s unit.Slope) unit.Speed {
	t := s.Angle().Degrees()
	u := (t - l.a) / l.b
	return unit.Speed(l.c/(math.Pi*l.b*(1+u*u)) + l.d + l.e*t)
}

// Campbell et al. 2022, Computers, Environment and Urban Systems: median of hikers'
// recordings across the United States. Coefficients as in the first author's R package.
func hikers2022() lorentz { return lorentz{-1.4579, 22.0787, 76.3271, 0.0525, -3.2002e-4} }

// tan 30 degrees. Campbell 2022 was fitted on slopes within 30 degrees of the level; Our judgment: a steeper slope
// counts as 30 degrees, where the curve is already slow.
const steepest unit.Slope = 0.5773502691896257

// RateSource is where Rate and the times made from it come from, as a plan explains them.
const RateSource = "Campbell et al. 2022 (Comput Environ Urban Syst), median of hikers by slope; group factor and " +
	"rests are house judgement after trade practice"

// Rate returns the median speed of hikers on a slope, breaks not counted. It is the median of every estimate. Slopes
// beyond 30 degrees count as 30.
func Rate(s unit.Slope) unit.Speed { return hikers2022().at(max(-steepest, min(steepest, s))) }

// ToblerFormula and ToblerSource explain Tobler in a plan.
const (
	ToblerFormula = "sum over legs of length / (6 exp(-3.5 |slope + 0.05|) km/h)"
	ToblerSource  = "Tobler 1993, NCGIA 93-1"
)

// Tobler returns W. Tobler's 1993 speed on footpaths.
func Tobler(s unit.Slope) unit.Speed {
	// Tobler 1993, NCGIA Technical Report 93-1: 6 exp(-3.5 |s + 0.05|) km/h.
	return unit.Speed(6*math.Exp(-3.5*math.Abs(float64(s)+0.05))) * unit.KilometrePerHour
}
