package sample

import "math"

// joined returns the lines end to end. Each starts where the last ends.
func joined(lines ...[]spot) []spot {
	out := lines[0]
	for _, l := range lines[1:] {
		out = append(out, l[1:]...)
	}
	return out
}

// washLine goes down the wash and back on the ground north of it.
func washLine() []spot {
	bed := gourdWash()
	down := smooth(false, bed[1:6]...)
	back := smooth(false, bed[5], spot{1900, 1150}, spot{2700, 1500}, spot{3500, 1750}, spot{4300, 1600}, bed[1])
	return joined(route(0.1, down...), route(0.1, back...))
}

// rimLine goes up the west face, around the mesa just inside its edge, and back down.
func rimLine() []spot {
	m := mesa()
	lot, foot := spot{10350, 2500}, spot{10600, 2750}
	var rim []spot
	for _, share := range []float64{0, 0.08, 0.17, 0.25, 0.33, 0.42, 0.5, 0.58, 0.67, 0.75, 0.83, 0.92, 1} {
		rim = append(rim, rotated(spot{-1, 0}, -2*math.Pi*share).times(m.width*0.76).plus(m.at))
	}
	up := route(0.17, lot, foot, rim[0])
	down := route(0.17, rim[0], spot{10640, 2560}, lot)
	return joined(up, route(0.15, smooth(false, rim...)...), down)
}
