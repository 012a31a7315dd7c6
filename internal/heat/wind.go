package heat

import (
	"math"

	"saltbush/internal/unit"
)

// Surroundings is the roughness of the land that the wind blows over.
type Surroundings int

// The two kinds of land that the wind profile distinguishes.
const (
	Rural Surroundings = iota
	Urban
)

// Wind profile exponents by stability class 1 to 6 (A to F): US EPA 2000, EPA-454/R-99-005,
// table 6-3, as Liljegren et al. 2008 use them.
var profileExponents = [2][6]float64{
	Rural: {0.07, 0.07, 0.10, 0.15, 0.35, 0.55},
	Urban: {0.15, 0.15, 0.20, 0.25, 0.30, 0.30},
}

// The lowest wind at 2 m of Liljegren et al. 2008: air is never completely still.
const stillest = 0.13

// WindAt2m converts a wind measured or forecast at 10 m to the 2 m of a walker, over open country. See
// Surroundings.WindAt2m.
func WindAt2m(wind10m unit.Speed, solar unit.Irradiance, day bool) unit.Speed {
	return Rural.WindAt2m(wind10m, solar, day)
}

// WindAt2m converts a wind at 10 m to 2 m by a power law whose exponent depends on the stability of the air (solar
// radiation and delta-T method, US EPA 2000, section 6.4.4). Our judgment: at night the air near the ground is
// assumed to be the colder, as under a clear desert sky, which gives the weaker wind. The result is never below 0.13
// m/s.
func (s Surroundings) WindAt2m(wind10m unit.Speed, solar unit.Irradiance, day bool) unit.Speed {
	v := wind10m.MetresPerSecond()
	class := nightClass(v)
	if day {
		class = dayClass(v, solar.WattsPerSquareMetre())
	}
	exponent := profileExponents[s][class-1]
	return unit.Speed(max(stillest, v*math.Pow(2.0/10, exponent)))
}

// US EPA 2000, EPA-454/R-99-005, table 6-7: the class by day, by wind at 10 m (rows: under
// 2, 3, 5, 6 m/s, more) and sun (columns: from 925, 675, 175 W/m2, less).
var dayClasses = [5][4]int{
	{1, 1, 2, 4},
	{1, 2, 3, 4},
	{2, 2, 3, 4},
	{3, 3, 4, 4},
	{3, 4, 4, 4},
}

func dayClass(wind, solar float64) int {
	row := 0
	for _, limit := range [4]float64{2, 3, 5, 6} {
		if wind >= limit {
			row++
		}
	}
	column := 3
	for _, limit := range [3]float64{175, 675, 925} {
		if solar >= limit {
			column--
		}
	}
	return dayClasses[row][column]
}

// nightClass is the lower half of the same table as Liljegren's released source reads it,
// for temperature that rises with height.
func nightClass(wind float64) int {
	if wind >= 2.5 {
		return 4
	}
	return 6
}
