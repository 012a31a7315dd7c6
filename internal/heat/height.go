package heat

import (
	"math"

	"saltbush/internal/unit"
)

const (
	// ICAO standard atmosphere (Doc 7488, 1993): kelvins a meter in the troposphere, and
	// the temperature and the pressure at sea level.
	standardLapse       = 0.0065
	standardTemperature = 288.15
	standardPressure    = 101325.0
	// g M / (R lapse) of the same atmosphere.
	standardExponent = 5.25588
	// Dry adiabatic lapse, g over cp = 9.81/1004 kelvins a meter.
	dryLapse = 0.0098
)

// Lapse converts an air temperature from one height to another, and errs to the hot side both ways. Upward the air
// cools by the 6.5 K/km of the ICAO standard atmosphere. Downward it warms by the dry adiabatic 9.8 K/km. Our
// judgment: in the afternoon the floor of a canyon is warmer than the standard lapse rate says, and an error must not
// make it look cool.
func Lapse(air unit.Temperature, from, to unit.Length) unit.Temperature {
	rise := (to - from).Metres()
	if rise < 0 {
		return air - unit.Temperature(dryLapse*rise)
	}
	return air - unit.Temperature(standardLapse*rise)
}

// PressureAt returns the pressure of the ICAO standard atmosphere at a height above the sea, valid from -5000 to 11
// 000 m. Weather changes it by about 2 %, which does not matter for the WBGT.
func PressureAt(elevation unit.Length) unit.Pressure {
	ratio := 1 - standardLapse*elevation.Metres()/standardTemperature
	return unit.Pressure(standardPressure * math.Pow(max(0, ratio), standardExponent))
}
