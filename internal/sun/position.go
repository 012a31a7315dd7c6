package sun

import (
	"math"
	"time"

	"saltbush/internal/unit"
)

// Sun is the direction of the Sun's center from a place, without refraction. Azimuth runs from north through east,
// from 0 to a full turn. Zenith is the angle from straight overhead, a right angle less the elevation.
type Sun struct {
	Elevation, Azimuth, Zenith unit.Angle
}

// At returns the Sun over p at t, within 0.02 degrees for 1800 to 2100 and slowly worse outside. A position that is
// not on the globe gives meaningless angles.
func At(t time.Time, p unit.Position) Sun {
	o := orbitAt(centuries(t))
	hour := hourAngle(t, p, o)
	elevation := elevationOf(p, o, hour)
	// Meeus 1998, eq. 13.5, turned from "west of south" to "east of north".
	azimuth := math.Pi + math.Atan2(math.Sin(hour),
		math.Cos(hour)*math.Sin(float64(p.Lat))-math.Tan(o.declination)*math.Cos(float64(p.Lat)))
	return Sun{
		Elevation: unit.Angle(elevation),
		Azimuth:   unit.Angle(math.Mod(azimuth, 2*math.Pi)),
		Zenith:    unit.Angle(math.Pi/2 - elevation),
	}
}

// hourAngle returns the Sun's angle past the meridian of p, between -pi and pi, from the clock and the equation of
// time (NOAA solar calculator, "true solar time").
func hourAngle(t time.Time, p unit.Position, o orbit) float64 {
	u := t.UTC()
	clock := time.Duration(u.Hour())*time.Hour + time.Duration(u.Minute())*time.Minute +
		time.Duration(u.Second())*time.Second + time.Duration(u.Nanosecond())
	turn := clock.Hours() / 24 * 2 * math.Pi
	return math.Remainder(turn+o.equation+float64(p.Lon)-math.Pi, 2*math.Pi)
}

// elevationOf is Meeus 1998, eq. 13.6. Rounding can make the sine slightly larger than one.
func elevationOf(p unit.Position, o orbit, hour float64) float64 {
	sinLat, cosLat := math.Sincos(float64(p.Lat))
	sinDec, cosDec := math.Sincos(o.declination)
	sine := sinLat*sinDec + cosLat*cosDec*math.Cos(hour)
	return math.Asin(max(-1, min(1, sine)))
}
