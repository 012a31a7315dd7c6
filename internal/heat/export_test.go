package heat

import "saltbush/internal/unit"

// What the tests see of the inside, to hold it against published figures.

// SunDistance is the distance to the Sun in astronomical units.
var SunDistance = distance

// ChartHeatIndex is the bare regression, which is what the printed NWS chart shows; it
// differs from HeatIndex over 85 % and under 13 % humidity.
func ChartHeatIndex(air unit.Temperature, humidity unit.Fraction) unit.Temperature {
	return unit.Fahrenheit(regression(air.Fahrenheit(), float64(humidity.Percent())))
}

// PsychrometricWetBulb is the wet bulb of textbooks, shielded from the Sun: the wick's
// balance without any radiation. The published runs of the model print it, so it checks
// the evaporation that the natural wet bulb stands on.
func PsychrometricWetBulb(a Air) (unit.Temperature, error) {
	if err := a.check(); err != nil {
		return 0, err
	}
	s := newSurroundings(a)
	return celsius(s.wetRoot(s.shieldedGain, s.dew(), s.air)), nil
}

// shieldedGain is wickGain without any radiation.
func (s *surroundings) shieldedGain(t float64) float64 {
	return s.air - t - s.evaporative(t, s.filmTo(t))
}
