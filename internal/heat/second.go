package heat

import (
	"math"
	"time"

	"saltbush/internal/unit"
)

var bernardRanges = [2]bound{
	{"humidity", "", 0, 1},
	{"air temperature", " C", 0, 60},
}

// BernardWBGT is the WBGT in shade and a light wind from temperature and humidity alone:
// 0.67 of the psychrometric wet bulb and 0.33 of the air (Bernard and Pourmoghani 1999, as
// Lemke and Kjellstrom 2012 give it, Industrial Health 50:267-278). A second opinion where
// there is no sun. House judgement: from 0 to 60 C.
func BernardWBGT(air unit.Temperature, humidity unit.Fraction) (unit.Temperature, error) {
	for i, v := range [2]float64{float64(humidity), air.Celsius()} {
		if !bernardRanges[i].holds(v) {
			return 0, bernardRanges[i].refuse(v)
		}
	}
	return 0.67*bernardWetBulb(air, humidity) + 0.33*air, nil
}

// bernardWetBulb is the wet bulb T that solves the equation of the same paper, in hPa and C:
// 1556 ed - 1.484 ed T - 1556 es + 1.484 es T + 1010 (Ta - T) = 0, with es the vapour
// pressure over water at T and ed that of the air.
func bernardWetBulb(air unit.Temperature, humidity unit.Fraction) unit.Temperature {
	ta := air.Celsius()
	ed := float64(humidity) * teten(ta)
	gain := func(t float64) float64 { return (1556-1.484*t)*(ed-teten(t)) + 1010*(ta-t) }
	// Bone-dry air at 60 C has its wet bulb at 19 C, and one at 0 C at -8 C.
	return unit.Celsius(root(gain, -20, ta+1))
}

// teten is the vapour pressure over water in hPa, with the paper's constants (Tetens 1930).
func teten(t float64) float64 { return 6.106 * math.Exp(17.27*t/(237.3+t)) }

// Erbs splits the sunshine on level ground by its clearness: the beam on a surface that
// faces the Sun, what comes from the rest of the sky on level ground, and the share of the
// sunshine above the air that arrives. A second opinion on DirectFraction. With the Sun
// down or nearly so there is no beam.
func Erbs(solar unit.Irradiance, zenith unit.Angle, t time.Time) (beam, diffuse unit.Irradiance, clearness unit.Fraction) {
	cosine := math.Cos(float64(zenith))
	if !(cosine >= lowestSunCosine) || !(solar > 0) {
		return 0, max(0, solar), 0
	}
	r := distance(t)
	k := min(1, solar.WattsPerSquareMetre()/(solarConstant*cosine/(r*r)))
	diffuse = solar * unit.Irradiance(erbsShare(k))
	return (solar - diffuse) / unit.Irradiance(cosine), diffuse, unit.Fraction(k)
}

// erbsShare is the diffuse share by clearness: Erbs, Klein and Duffie 1982, Solar Energy
// 28:293-302.
func erbsShare(k float64) float64 {
	switch {
	case k <= 0.22:
		return 1 - 0.09*k
	case k <= 0.80:
		return 0.9511 + k*(-0.1604+k*(4.388+k*(-16.638+k*12.336)))
	default:
		return 0.165
	}
}

// IndexBand is one of the heat index's published bands.
type IndexBand string

// The bands, from cool to hot. They are for show: in dry air the index runs low, and the
// house ladder decides.
const (
	NoBand         IndexBand = "below caution"
	Caution        IndexBand = "caution"
	ExtremeCaution IndexBand = "extreme caution"
	Danger         IndexBand = "danger"
	ExtremeDanger  IndexBand = "extreme danger"
)

// Band returns the band of a heat index: US National Weather Service, from 80, 90, 103 and
// 125 F. An edge belongs to the hotter band, and what is no number is the hottest.
func Band(index unit.Temperature) IndexBand {
	switch {
	case index < unit.Fahrenheit(80)-hair:
		return NoBand
	case index < unit.Fahrenheit(90)-hair:
		return Caution
	case index < unit.Fahrenheit(103)-hair:
		return ExtremeCaution
	case index < unit.Fahrenheit(125)-hair:
		return Danger
	default:
		return ExtremeDanger
	}
}
