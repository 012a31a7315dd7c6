package heat

import "saltbush/internal/unit"

// Internals that tests compare with published figures.

// SunDistance is the distance to the Sun in astronomical units.
var SunDistance = distance

// ChartHeatIndex is the regression alone, which the printed NWS chart shows. It differs from HeatIndex over 85 % and
// under 13 % humidity.
func ChartHeatIndex(air unit.Temperature, humidity unit.Fraction) unit.Temperature {
	return unit.Fahrenheit(regression(air.Fahrenheit(), float64(humidity.Percent())))
}

// PsychrometricWetBulb is the wet bulb of textbooks, shielded from the Sun: the balance of the wick without
// radiation. The published runs of the model print it, so it checks the evaporation term of the natural wet bulb.
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
