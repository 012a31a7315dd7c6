package heat

import (
	"math"

	"saltbush/internal/unit"
)

// HeatIndexSource is where HeatIndex comes from, as a plan explains it.
const HeatIndexSource = "US National Weather Service, 2022"

// HeatIndex returns the heat index by the operational algorithm of the US National Weather Service: for shade and a
// light wind, within 5 F. Where the simple form gives less than 80 F it is the result; from there on it is the
// regression of Rothfusz with its two adjustments. The simple form as printed already averages with the air
// temperature, so it is not averaged again. Beyond the service's chart (over 115 F with high humidity) it has no
// meaning.
func HeatIndex(air unit.Temperature, humidity unit.Fraction) unit.Temperature {
	t, r := air.Fahrenheit(), float64(humidity.Percent())
	// NWS Weather Prediction Center, "The Heat Index Equation" (2022), simple form.
	simple := 0.5 * (t + 61 + (t-68)*1.2 + r*0.094)
	if simple < 80 {
		return unit.Fahrenheit(simple)
	}
	return unit.Fahrenheit(regression(t, r) + adjustment(t, r))
}

// regression is that of Rothfusz 1990 (NWS Southern Region, SR 90-23), degrees F and percent, fitted to the tables of
// Steadman 1979 within 1.3 F.
func regression(t, r float64) float64 {
	return -42.379 + 2.04901523*t + 10.14333127*r - 0.22475541*t*r -
		0.00683783*t*t - 0.05481717*r*r + 0.00122874*t*t*r +
		0.00085282*t*r*r - 0.00000199*t*t*r*r
}

// adjustment is that of the NWS Weather Prediction Center's page. In the dry branch the root covers the whole
// bracket, divided by 17.
func adjustment(t, r float64) float64 {
	switch {
	case r < 13 && t >= 80 && t <= 112:
		return -(13 - r) / 4 * math.Sqrt((17-math.Abs(t-95))/17)
	case r > 85 && t >= 80 && t <= 87:
		return (r - 85) / 10 * (87 - t) / 5
	default:
		return 0
	}
}

// Felt returns the temperature that the heat ladder judges: the heat index or the air temperature, whichever is
// higher. Dry air never counts as cooler.
func Felt(air unit.Temperature, humidity unit.Fraction) unit.Temperature {
	return max(air, HeatIndex(air, humidity))
}
