package unit

import "math"

// Position is a place on the WGS84 ellipsoid. East and north are positive.
type Position struct {
	Lat, Lon Angle
}

// At makes a position from degrees north and degrees east.
func At(lat, lon float64) Position {
	return Position{Lat: Angle(lat) * Degree, Lon: Angle(lon) * Degree}
}

// Valid reports whether the position is on the globe and is a number.
func (p Position) Valid() bool {
	lat, lon := p.Lat.Degrees(), p.Lon.Degrees()
	return math.Abs(lat) <= 90 && math.Abs(lon) <= 180 // NaN fails both
}

// WGS84 (NIMA TR8350.2, 2000): semi-major axis and flattening.
const (
	wgs84Axis       = 6378137.0
	wgs84Flattening = 1 / 298.257223563
)

// DistanceTo returns the distance along the ellipsoid from its radii of curvature at the mean latitude. It is within
// 0.01 % of the geodesic for lines under 20 km away from the poles; the steps of a track are meters.
func (p Position) DistanceTo(q Position) Length {
	mid := float64(p.Lat+q.Lat) / 2
	e2 := wgs84Flattening * (2 - wgs84Flattening)
	w := math.Sqrt(1 - e2*math.Sin(mid)*math.Sin(mid))
	north := wgs84Axis * (1 - e2) / (w * w * w) * float64(q.Lat-p.Lat)
	east := wgs84Axis / w * math.Cos(mid) * lonDelta(p, q)
	return Length(math.Hypot(north, east))
}

// lonDelta takes the short way across the date line.
func lonDelta(p, q Position) float64 {
	return math.Remainder(float64(q.Lon-p.Lon), 2*math.Pi)
}

// Toward returns the position a share f of the way from p to q on a straight line, accurate enough for points meters
// apart.
func (p Position) Toward(q Position, f Fraction) Position {
	lon := float64(p.Lon) + float64(f)*lonDelta(p, q)
	return Position{
		Lat: p.Lat + Angle(f)*(q.Lat-p.Lat),
		Lon: Angle(math.Remainder(lon, 2*math.Pi)),
	}
}
