package sun

import (
	"math"

	"saltbush/internal/unit"
)

// SkyFormula and SkySource explain ClearSky and Clouded in a plan.
const (
	SkyFormula = "1098 cos z exp(-0.059 / cos z), raised with height, x (1 - 0.75 cloud^3.4)"
	SkySource  = "Haurwitz 1945; FAO-56 eq. 37; Kasten and Czeplak 1980"
)

// ClearSky returns the sunshine on level ground under a cloudless sky at a height above sea level, zero when the Sun
// is down.
//
// Haurwitz 1945 (Journal of Meteorology 2:154-166), fitted at sea level, raised for thinner air by the height term of
// the ASCE-EWRI 2005 and FAO-56 (Allen et al. 1998, eq. 37) clear sky, (0.75 + 2e-5 z) over 0.75: 2.7 % a kilometer.
// Our judgment: we combine the two, since Haurwitz alone is a few percent too low in high desert. The factor is one
// below sea level and constant above 6000 m: nobody uses the fit beyond that.
func ClearSky(s Sun, elevation unit.Length) unit.Irradiance {
	cosine := math.Sin(float64(s.Elevation))
	if !(cosine > 0) {
		return 0
	}
	metres := 0.0
	if elevation > 0 { // false for NaN too
		metres = min(6000, elevation.Metres())
	}
	// Haurwitz 1945, in the form of Reno, Hansen and Stein 2012 (SAND2012-2389, eq. 13).
	level := 1098 * cosine * math.Exp(-0.059/cosine)
	return unit.Irradiance(level * (0.75 + 2e-5*metres) / 0.75)
}

// Clouded returns what is left of the sunshine of a clear sky under a share of cloud cover: 1 - 0.75 N^3.4, Kasten
// and Czeplak 1980 (Solar Energy 24:177-189), fitted to ten years at Hamburg. Little cloud takes little away, and
// full cover takes three quarters. A cover outside 0 to 1 counts as the nearer end, and one that is not a number as
// clear.
func Clouded(cloudless unit.Irradiance, cloud unit.Fraction) unit.Irradiance {
	if !(cloud > 0) {
		return cloudless
	}
	cover := min(1, float64(cloud))
	return cloudless * unit.Irradiance(1-0.75*math.Pow(cover, 3.4))
}
