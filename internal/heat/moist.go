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

// SaturationPressure returns the pressure of water vapour over water at the temperature
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

// House judgement: the driest air that DewPoint tells apart, 0.1 %. Below it the dew point
// falls without end and no forecast knows it.
const driest unit.Fraction = 0.001

// DewPoint returns the temperature at which the air's vapour would begin to condense: the
// inverse of Humidity. Air drier than 0.1 % counts as 0.1 %, wetter than saturated as
// saturated.
func DewPoint(air unit.Temperature, humidity unit.Fraction) unit.Temperature {
	wet := max(driest, min(1, humidity))
	vapour := SaturationPressure(air).Hectopascals() * float64(wet)
	gamma := math.Log(vapour / magnusPressure)
	return unit.Celsius(magnusOffset * gamma / (magnusFactor - gamma))
}
