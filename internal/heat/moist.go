package heat

import (
	"math"

	"saltbush/internal/unit"
)

// Magnus formula over water with the constants of the WMO guide (WMO-No. 8, 2018, part I,
// annex 4.B): hPa, dimensionless, degrees C. Valid -45 to 60 C.
const (
	magnusPressure = 6.112
	magnusFactor   = 17.62
	magnusOffset   = 243.12
)

// SaturationPressure returns the pressure of water vapor over water at the temperature
// (Magnus, WMO-No. 8), valid from -45 to 60 C.
func SaturationPressure(t unit.Temperature) unit.Pressure {
	c := t.Celsius()
	return unit.Pressure(magnusPressure*math.Exp(magnusFactor*c/(magnusOffset+c))) * unit.Hectopascal
}

// HumiditySource is where Humidity and DewPoint come from, as a plan explains them.
const HumiditySource = "Magnus formula, WMO-No. 8"

// Humidity returns the relative humidity of air with the dew point given, at most one.
func Humidity(air, dewPoint unit.Temperature) unit.Fraction {
	return min(1, unit.Fraction(SaturationPressure(dewPoint)/SaturationPressure(air)))
}

// Our judgment: the driest air that DewPoint accepts, 0.1 %. Below it the dew point falls without limit, and no
// forecast is that precise.
const driest unit.Fraction = 0.001

// DewPoint returns the temperature at which the vapor of the air begins to condense: the inverse of Humidity.
// Humidity below 0.1 % counts as 0.1 %, above 100 % as 100 %.
func DewPoint(air unit.Temperature, humidity unit.Fraction) unit.Temperature {
	wet := max(driest, min(1, humidity))
	vapor := SaturationPressure(air).Hectopascals() * float64(wet)
	gamma := math.Log(vapor / magnusPressure)
	return unit.Celsius(magnusOffset * gamma / (magnusFactor - gamma))
}
