package sun

import (
	"math"
	"time"
)

const (
	degree = math.Pi / 180
	// Julian date of the Unix epoch, 1970-01-01 00:00 UTC (Meeus 1998, ch. 7).
	julianUnixEpoch = 2440587.5
	// Julian date of the epoch J2000.0 and days in a Julian century (Meeus 1998, eq. 25.1).
	julian2000    = 2451545.0
	julianCentury = 36525.0
)

// orbit is the apparent position of the Sun seen from the center of the Earth. Angles are in radians.
type orbit struct {
	meanLongitude float64
	meanAnomaly   float64 // not reduced to one turn
	eccentricity  float64
	trueLongitude float64
	longitude     float64 // apparent: with nutation and aberration
	distance      float64 // astronomical units
	ascension     float64 // right ascension, -pi to pi
	declination   float64
	equation      float64 // equation of time
}

// centuries returns Julian centuries since J2000.0. It uses UTC for dynamical time: the 70 s between them move the
// Sun by 0.0008 degrees.
func centuries(t time.Time) float64 {
	days := float64(t.Unix())/86400 + float64(t.Nanosecond())/86400e9
	return (days + julianUnixEpoch - julian2000) / julianCentury
}

// orbitAt evaluates Meeus 1998, chapter 25, "low accuracy" (0.01 degrees), at c Julian
// centuries since J2000.0.
func orbitAt(c float64) orbit {
	var o orbit
	// Meeus 1998, eq. 25.2, 25.3 and 25.4.
	o.meanLongitude = degree * (280.46646 + c*(36000.76983+c*0.0003032))
	o.meanAnomaly = degree * (357.52911 + c*(35999.05029-c*0.0001537))
	o.eccentricity = 0.016708634 - c*(0.000042037+c*0.0000001267)
	center := equationOfCenter(c, o.meanAnomaly)
	o.trueLongitude = o.meanLongitude + center
	// Meeus 1998, eq. 25.5.
	o.distance = 1.000001018 * (1 - o.eccentricity*o.eccentricity) /
		(1 + o.eccentricity*math.Cos(o.meanAnomaly+center))
	// Meeus 1998, p. 164: the Moon's ascending node, then nutation and aberration.
	node := degree * (125.04 - 1934.136*c)
	o.longitude = o.trueLongitude - degree*(0.00569+0.00478*math.Sin(node))
	// Meeus 1998, eq. 25.8: the correction of the obliquity that goes with it.
	mean := meanObliquity(c)
	obliquity := mean + degree*0.00256*math.Cos(node)
	sin, cos := math.Sincos(o.longitude)
	// Meeus 1998, eq. 25.6 and 25.7.
	o.ascension = math.Atan2(math.Cos(obliquity)*sin, cos)
	o.declination = math.Asin(math.Sin(obliquity) * sin)
	o.equation = equationOfTime(o, mean)
	return o
}

// equationOfCenter is Meeus 1998, p. 164.
func equationOfCenter(c, anomaly float64) float64 {
	return degree * (math.Sin(anomaly)*(1.914602-c*(0.004817+c*0.000014)) +
		math.Sin(2*anomaly)*(0.019993-c*0.000101) +
		math.Sin(3*anomaly)*0.000289)
}

// meanObliquity is Meeus 1998, eq. 22.2, in arc seconds past 23 degrees.
func meanObliquity(c float64) float64 {
	seconds := 26*60 + 21.448 - c*(46.8150+c*(0.00059-c*0.001813))
	return degree * (23 + seconds/3600)
}

// equationOfTime is Meeus 1998, eq. 28.3 (after Smart), in radians of hour angle. The book's example uses the mean
// obliquity. NOAA uses the corrected one, which differs by 0.01 s of time.
func equationOfTime(o orbit, obliquity float64) float64 {
	y := math.Tan(obliquity / 2)
	y *= y
	e := o.eccentricity
	sin2L, cos2L := math.Sincos(2 * o.meanLongitude)
	return y*sin2L - 2*e*math.Sin(o.meanAnomaly) +
		4*e*y*math.Sin(o.meanAnomaly)*cos2L -
		y*y/2*math.Sin(4*o.meanLongitude) -
		5.0/4*e*e*math.Sin(2*o.meanAnomaly)
}
