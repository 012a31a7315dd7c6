package track

import (
	"math"
	"sort"

	"saltbush/internal/unit"
)

// Far returns the distance along to the far point: half of an out-and-back, the end of
// any other walk.
func (p Profile) Far() unit.Length { return p.oneWay() }

// SampleAt returns the place at a distance along the whole walk, mirrored on the way back.
// Distances off the walk give its ends. At a gap it is the near side.
func (p Profile) SampleAt(along unit.Length) Sample {
	if len(p.Samples) == 0 {
		return Sample{}
	}
	along = max(0, min(along, p.Length))
	if math.IsNaN(float64(along)) {
		along = 0
	}
	out := along
	if p.Shape == OutAndBack && along > p.oneWay() {
		out = p.Length - along
	}
	s := p.between(out)
	s.Along = along
	return s
}

// between interpolates on the recorded direction.
func (p Profile) between(along unit.Length) Sample {
	i := sort.Search(len(p.Samples), func(i int) bool { return p.Samples[i].Along >= along })
	if i == len(p.Samples) {
		return p.Samples[i-1]
	}
	b := p.Samples[i]
	if i == 0 || b.Along == along {
		return b
	}
	a := p.Samples[i-1]
	f := unit.Fraction((along - a.Along) / (b.Along - a.Along))
	return Sample{
		Along:     along,
		At:        a.At.Toward(b.At, f),
		Elevation: a.Elevation + unit.Length(f)*(b.Elevation-a.Elevation),
	}
}

// Nearest returns the place of the recorded direction that is nearest to a position, by
// its distance along, and how far off the line the position is.
func (p Profile) Nearest(at unit.Position) (along, off unit.Length) {
	if len(p.Samples) == 0 {
		return 0, 0
	}
	off = p.Samples[0].At.DistanceTo(at)
	for i := 1; i < len(p.Samples); i++ {
		a, b := p.Samples[i-1], p.Samples[i]
		f := foot(a.At, b.At, at)
		if b.Gap {
			f = 1
		}
		if d := a.At.Toward(b.At, f).DistanceTo(at); d < off {
			along, off = a.Along+unit.Length(f)*(b.Along-a.Along), d
		}
	}
	return along, off
}

// foot returns the share of the way from a to b where a perpendicular from c meets it, on
// a plane around c: good for lines of meters to kilometers.
func foot(a, b, c unit.Position) unit.Fraction {
	ax, ay := plane(c, a)
	bx, by := plane(c, b)
	dx, dy := bx-ax, by-ay
	square := dx*dx + dy*dy
	if square == 0 {
		return 0
	}
	return unit.Fraction(max(0, min(1, -(ax*dx+ay*dy)/square)))
}

// plane returns q east and north of c in radians of latitude.
func plane(c, q unit.Position) (east, north float64) {
	lon := math.Remainder(q.Lon.Radians()-c.Lon.Radians(), 2*math.Pi)
	return lon * math.Cos(c.Lat.Radians()), q.Lat.Radians() - c.Lat.Radians()
}
