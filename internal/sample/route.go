package sample

import "math"

// pace is the length of a step of the route, in meters.
// Our judgment: about the distance between fixes of a device that saves its battery.
const pace = 12.0

// builder lays a trail over the ground as trail crews do: straight if the ground is gentle,
// else in switchbacks.
type builder struct {
	at    spot
	steep float64 // maximum slope, rise over run
	side  float64 // side of the current switchback, 1 or -1
	line  []spot
}

// route lays a trail through the spots with at most the given slope.
func route(steep float64, by ...spot) []spot {
	b := builder{at: by[0], steep: steep, side: 1, line: by[:1:1]}
	for i := 1; i < len(by); i++ {
		b.goTo(by[i-1], by[i])
	}
	return b.line
}

// maxSteps is the limit of steps between two spots.
// Our judgment: a leg with more steps goes in circles.
const maxSteps = 2000

func (b *builder) goTo(from, to spot) {
	for range maxSteps {
		left := to.minus(b.at).length()
		if left < pace*1.2 {
			break
		}
		b.step(b.heading(from, to), min(pace, left))
	}
	b.at = to
	b.line = append(b.line, to)
}

func (b *builder) step(way spot, length float64) {
	b.at = b.at.plus(way.times(length))
	b.line = append(b.line, b.at)
}

// heading returns the direction of the next step: straight to the goal, or at an angle to the
// slope if that would be too steep.
func (b *builder) heading(from, to spot) spot {
	way := to.minus(b.at)
	way = way.times(1 / way.length())
	up := uphill(b.at)
	if math.Abs(way.dot(up)) <= b.steep {
		return way
	}
	lean := math.Acos(b.steep / up.length())
	if way.dot(up) < 0 { // going down: the angle is from straight down
		up = up.times(-1)
	}
	b.turn(from, to, up, way, lean)
	return rotated(up, b.side*lean)
}

// turn changes the side at the end of a switchback, if the other side leads to the goal.
func (b *builder) turn(from, to, up, way spot, lean float64) {
	straight := to.minus(from)
	straight = straight.times(1 / straight.length())
	off := straight.cross(b.at.minus(from))
	// Our judgment: switchbacks of about 150 m, shorter near the goal.
	width := min(75, 12+0.35*to.minus(b.at).length())
	now, other := rotated(up, b.side*lean), rotated(up, -b.side*lean)
	outward := straight.cross(now)*off > 0
	if math.Abs(off) > width && outward && other.dot(way) > 0.05 || now.dot(way) < 0.05 {
		b.side = -b.side
	}
}

// rotated returns a vector of length one, rotated to the left by an angle in radians.
func rotated(v spot, angle float64) spot {
	sin, cos := math.Sincos(angle)
	w := spot{v.x*cos - v.y*sin, v.x*sin + v.y*cos}
	return w.times(1 / w.length())
}

// smooth returns a curve through the corners, so that a trail on level ground bends (Catmull
// and Rom 1974, "A class of local interpolating splines").
func smooth(closed bool, by ...spot) []spot {
	n := len(by)
	pick := func(i int) spot {
		if closed {
			return by[(i+n)%n]
		}
		return by[max(0, min(n-1, i))]
	}
	legs := n - 1
	if closed {
		legs = n
	}
	const cuts = 6
	out := []spot{by[0]}
	for i := range legs {
		for c := 1; c <= cuts; c++ {
			out = append(out, catmullRom(pick(i-1), pick(i), pick(i+1), pick(i+2), float64(c)/cuts))
		}
	}
	return out
}

func catmullRom(a, b, c, d spot, t float64) spot {
	blend := func(a, b, c, d float64) float64 {
		return 0.5 * (2*b + (c-a)*t + (2*a-5*b+4*c-d)*t*t + (3*b-a-3*c+d)*t*t*t)
	}
	return spot{blend(a.x, b.x, c.x, d.x), blend(a.y, b.y, c.y, d.y)}
}

// lengthOf returns the length of a line on the map, in meters.
func lengthOf(line []spot) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += line[i].minus(line[i-1]).length()
	}
	return sum
}

// along returns the spot at a share of the length of a line, 0 to 1.
func along(line []spot, share float64) spot {
	left := share * lengthOf(line)
	for i := 1; i < len(line); i++ {
		step := line[i].minus(line[i-1]).length()
		if left <= step && step > 0 {
			return line[i-1].toward(line[i], left/step)
		}
		left -= step
	}
	return line[len(line)-1]
}
