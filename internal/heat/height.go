package heat

import (
	"math"

	"saltbush/internal/unit"
)

const (
	// ICAO standard atmosphere (Doc 7488, 1993): kelvins a metre in the troposphere, and
	// the temperature and the pressure at sea level.
	standardLapse       = 0.0065
	standardTemperature = 288.15
	standardPressure    = 101325.0
	// g M / (R lapse) of the same atmosphere.
	standardExponent = 5.25588
	// Dry adiabatic lapse, g over cp = 9.81/1004 kelvins a metre.
	dryLapse = 0.0098
)

// Lapse carries an air temperature from one height to another, to the hot side both ways.
// Upward the air cools by the 6.5 K/km of the ICAO standard atmosphere. Downward it warms
// by the dry adiabatic 9.8 K/km. House judgement: a canyon's floor is warmer in the
// afternoon than the standard lapse has it, and an error must not promise coolness.
func Lapse(air unit.Temperature, from, to unit.Length) unit.Temperature {
	rise := (to - from).Metres()
	if rise < 0 {
		return air - unit.Temperature(dryLapse*rise)
	}
	return air - unit.Temperature(standardLapse*rise)
}

// PressureAt returns the pressure of the ICAO standard atmosphere at a height above the
// sea, valid from -5000 to 11 000 m. Weather moves it by some 2 %, which is nothing to the WBGT.
func PressureAt(elevation unit.Length) unit.Pressure {
	ratio := 1 - standardLapse*elevation.Metres()/standardTemperature
	return unit.Pressure(standardPressure * math.Pow(max(0, ratio), standardExponent))
}
