package heat

import (
	"math"
	"time"

	"saltbush/internal/unit"
)

// Constants of Liljegren et al. 2008 as in the released source: the solar constant in W/m2, the largest share of it
// that reaches the ground, the largest direct share of that, and the cosine of a zenith of 89.5 degrees, beyond which
// none is direct.
const (
	solarConstant    = 1367.0
	clearestSky      = 0.85
	mostDirect       = 0.9
	lowestSunCosine  = 0.00873
	nearestSunFactor = 1.0344 // (1/R)^2 at R = 0.9832 au, the nearest of the year
)

// Sunshine limits a measured or forecast irradiance to that under the clearest sky at that height of the Sun, 85 % of
// the irradiance above the atmosphere, and returns it with its direct share: exp(3 - 1.34 n - 1.65/n), at most 0.9,
// where n is the share that gets through the atmosphere (Liljegren et al. 2008, eq. 13). The limit matters near
// sunrise, where an hourly mean can exceed it. Below 0.5 degrees of elevation the irradiance is unchanged and all
// diffuse.
func Sunshine(solar unit.Irradiance, zenith unit.Angle, t time.Time) (unit.Irradiance, unit.Fraction) {
	cosine := math.Cos(float64(zenith))
	if !(cosine >= lowestSunCosine) || !(solar > 0) {
		return max(0, solar), 0
	}
	r := distance(t)
	above := solarConstant * cosine / (r * r)
	n := min(clearestSky, solar.WattsPerSquareMetre()/above)
	share := math.Exp(3 - 1.34*n - 1.65/n)
	return unit.Irradiance(n * above), unit.Fraction(min(mostDirect, share))
}

// distance returns the distance to the Sun in astronomical units: Astronomical Almanac, low precision formulas for
// the Sun, section C, with days counted from J2000.0. Within 0.0003 for 1950 to 2050.
func distance(t time.Time) float64 {
	days := float64(t.Unix()-946728000) / 86400 // J2000.0 is 2000-01-01 12:00
	g := (357.528 + 0.9856003*days) * math.Pi / 180
	return 1.00014 - 0.01671*math.Cos(g) - 0.00014*math.Cos(2*g)
}
