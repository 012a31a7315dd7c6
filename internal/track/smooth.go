package track

import (
	"math"

	"saltbush/internal/unit"
)

// line is one unbroken run while it is being smoothed: columns of equal length. Longitude
// runs on across the date line.
type line struct {
	along    []float64 // meters from the start of the run
	lat, lon []float64 // radians
	height   []float64 // meters, NaN where unknown
}

func (l line) at(i int) unit.Position {
	lon := math.Remainder(l.lon[i], 2*math.Pi)
	return unit.Position{Lat: unit.Angle(l.lat[i]), Lon: unit.Angle(lon)}
}

func (l *line) add(lat, lon, height float64) {
	l.lat = append(l.lat, lat)
	l.lon = append(l.lon, lon)
	l.height = append(l.height, height)
}

// measure fills along from the positions.
func (l *line) measure() {
	l.along = make([]float64, len(l.lat))
	for i := 1; i < len(l.lat); i++ {
		l.along[i] = l.along[i-1] + l.at(i-1).DistanceTo(l.at(i)).Metres()
	}
}

// unrolled returns the fixes as columns, heights through a median of three.
func unrolled(run []Fix) line {
	n := len(run)
	l := line{lat: make([]float64, 0, n), lon: make([]float64, 0, n), height: make([]float64, 0, n)}
	for _, fix := range run {
		height, lon := math.NaN(), fix.At.Lon.Radians()
		if fix.HasElevation {
			height = fix.Elevation.Metres()
		}
		if n := len(l.lon); n > 0 {
			lon = l.lon[n-1] + math.Remainder(lon-l.lon[n-1], 2*math.Pi)
		}
		l.add(fix.At.Lat.Radians(), lon, height)
	}
	l.height = median3(l.height)
	return l
}

// median3 replaces each value by the median of it and its neighbors: one bad reading
// disappears, ramps and steps stay. Ends, and values beside an unknown one, stay.
func median3(v []float64) []float64 {
	out := append([]float64(nil), v...)
	for i := 1; i+1 < len(v); i++ {
		a, b, c := v[i-1], v[i], v[i+1]
		if m := max(min(a, b), min(max(a, b), c)); !math.IsNaN(m) {
			out[i] = m
		}
	}
	return out
}

// dense returns over how many fixes the recording usually moves by denseStep: 1 for a
// sparse one. The median of some 400 places, so that rests and jumps do not count.
func dense(l line) int {
	n := len(l.lat)
	for lag := 1; lag < n/4; lag += 1 + lag/4 {
		var moved []unit.Length
		for i := 0; i+lag < n; i += 1 + n/400 {
			moved = append(moved, l.at(i).DistanceTo(l.at(i+lag)))
		}
		if median(moved) >= denseStep {
			return lag
		}
	}
	return max(1, n/4)
}

// averaged gives each place the triangular mean of the reach-1 fixes on both sides, fewer
// at the ends, so that the first and last fix stay. Since it goes by the count of fixes,
// a rest shrinks to a point however much the device wandered.
func averaged(v []float64, reach int) []float64 {
	return box(box(v, reach/2), (reach-1)/2)
}

// box is the mean of up to half values on both sides, always as many on each.
func box(v []float64, half int) []float64 {
	if half == 0 {
		return v
	}
	sums := make([]float64, len(v)+1)
	for i, x := range v {
		sums[i+1] = sums[i] + (x - v[0])
	}
	out := make([]float64, len(v))
	for i := range v {
		h := min(half, i, len(v)-1-i)
		out[i] = v[0] + (sums[i+h+1]-sums[i-h])/float64(2*h+1)
	}
	return out
}

// cluster is a handful of fixes that lie together.
type cluster struct {
	lat, lon, height float64 // sums
	n, heights       float64
}

func (c *cluster) add(lat, lon, height float64) {
	c.lat, c.lon, c.n = c.lat+lat, c.lon+lon, c.n+1
	if !math.IsNaN(height) {
		c.height, c.heights = c.height+height, c.heights+1
	}
}

func (c cluster) middle() unit.Position {
	return unit.Position{Lat: unit.Angle(c.lat / c.n), Lon: unit.Angle(c.lon / c.n)}
}

// clustered averages fixes that lie within clusterRadius of the mean of those before
// them, so that a second's jitter and a rest's wander become one place. Fixes farther
// apart than that stay as they are. First and last fix stay the ends.
func clustered(l line) line {
	var out line
	var c cluster
	first, last := 0, len(l.lat)-1
	flush := func(next int) {
		if c.n == 0 {
			return
		}
		if c.n > 1 && len(out.lat) == 0 {
			out.add(l.lat[first], l.lon[first], l.height[first])
		}
		out.add(c.lat/c.n, c.lon/c.n, c.height/c.heights) // 0/0 is NaN: unknown
		if c.n > 1 && next > last {
			out.add(l.lat[last], l.lon[last], l.height[last])
		}
		c = cluster{}
	}
	for i := range l.lat {
		if c.n > 0 && c.middle().DistanceTo(l.at(i)) > clusterRadius {
			flush(i)
		}
		c.add(l.lat[i], l.lon[i], l.height[i])
	}
	flush(last + 1)
	out.measure()
	return out
}

// localLine smooths columns over the way: each value becomes that of the straight line
// fitted to its neighbors within half, nearer ones weighing more (Cleveland 1979, JASA
// 74:829-836, with a triangular weight). Straight ramps stay straight up to their ends,
// and a value without neighbors stays as it is.
func localLine(along []float64, half unit.Length, columns ...[]float64) [][]float64 {
	out := make([][]float64, len(columns))
	for k := range out {
		out[k] = make([]float64, len(along))
	}
	from, to := 0, 0
	for i, x := range along {
		for along[from] <= x-half.Metres() {
			from++
		}
		for to < len(along) && along[to] < x+half.Metres() {
			to++
		}
		w := weigh(along[from:to], x, half.Metres())
		for k, v := range columns {
			out[k][i] = w.fit(along[from:to], x, v[from:to])
		}
	}
	return out
}

// window holds what a weighted straight line needs to know of its neighbors' places.
type window struct {
	half              float64
	total, mean, wide float64 // sum of weights, mean offset, weighted square spread
}

func (w window) weight(d float64) float64 { return 1 - math.Abs(d)/w.half }

func weigh(along []float64, x, half float64) window {
	w := window{half: half}
	for _, a := range along {
		k := w.weight(a - x)
		w.total += k
		w.mean += k * (a - x)
	}
	w.mean /= w.total
	for _, a := range along {
		d := a - x - w.mean
		w.wide += w.weight(a-x) * d * d
	}
	return w
}

// fit returns the fitted line's value at x.
func (w window) fit(along []float64, x float64, v []float64) float64 {
	var mean, tilt float64
	for i, a := range along {
		mean += w.weight(a-x) * v[i]
	}
	mean /= w.total
	// Our judgment: with less than a meter of spread there is no line to fit.
	if w.wide < w.total {
		return mean
	}
	for i, a := range along {
		tilt += w.weight(a-x) * (a - x - w.mean) * (v[i] - mean)
	}
	return mean - w.mean*tilt/w.wide
}

// smoothed returns the run with its jitter taken out, measured anew. Heights are still
// as the clusters have them.
func smoothed(run []Fix) line {
	l := unrolled(run)
	reach := dense(l)
	l.lat, l.lon = averaged(l.lat, reach), averaged(l.lon, reach)
	l = clustered(l)
	columns := localLine(l.along, placeWindow, l.lat, l.lon)
	l.lat, l.lon = columns[0], columns[1]
	l.measure()
	return l
}
