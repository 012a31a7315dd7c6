package sun

import (
	"math"

	"saltbush/internal/unit"
)

// Apparent returns the visible elevation, raised by refraction in standard air. Published positions are often
// apparent; no plan needs it.
func (s Sun) Apparent() unit.Angle {
	return s.Elevation + unit.Angle(refraction(s.Elevation.Degrees()))*unit.Degree
}

// refraction, in degrees for an elevation of h degrees, is the piecewise fit of the NOAA
// solar calculator (NOAA Global Monitoring Laboratory, "Solar Calculation Details").
func refraction(h float64) float64 {
	tan := math.Tan(h * degree)
	switch {
	case h > 85:
		return 0
	case h > 5:
		return (58.1/tan - 0.07/(tan*tan*tan) + 0.000086/(tan*tan*tan*tan*tan)) / 3600
	case h > -0.575:
		return (1735 + h*(-518.2+h*(103.4+h*(-12.79+h*0.711)))) / 3600
	default:
		return -20.774 / tan / 3600
	}
}
