package chart

import (
	"math"
	"strconv"
	"strings"
)

// spot is a position in the units of a drawing's viewBox. y grows downward.
type spot struct{ x, y float64 }

func (a spot) to(b spot) float64 { return math.Hypot(b.x-a.x, b.y-a.y) }

// coordinate writes a number of the drawing, rounded to a tenth.
func coordinate(v float64) string {
	text := strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
	if text == "-0" {
		return "0"
	}
	return text
}

// pointsOf writes a line as the points of a polyline.
func pointsOf(line []spot) string {
	var b strings.Builder
	for i, s := range line {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(coordinate(s.x) + "," + coordinate(s.y))
	}
	return b.String()
}

// Our judgment: a drawing is at most 1000 units wide, so 600 points follow every visible turn, at
// about 7 kB.
const mostPoints = 600

// simplified drops points that nobody misses, by the rule of Douglas and Peucker 1973
// (Cartographica 10(2):112-122), with the smallest tolerance that leaves at most so many points. It
// keeps the ends of every line.
func simplified(lines [][]spot, most int) [][]spot {
	// Our judgment: from a fifth of a unit, which is invisible, up to one straight line.
	for tolerance := 0.2; ; tolerance *= 1.5 {
		var out [][]spot
		total := 0
		for _, line := range lines {
			thin := thinned(line, tolerance)
			out, total = append(out, thin), total+len(thin)
		}
		if total <= most || tolerance > 1000 {
			return out
		}
	}
}

func thinned(line []spot, tolerance float64) []spot {
	if len(line) < 3 {
		return line
	}
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	keepFar(line, keep, 0, len(line)-1, tolerance)
	var out []spot
	for i, s := range line {
		if keep[i] {
			out = append(out, s)
		}
	}
	return out
}

// keepFar keeps the point between two kept ones that is farthest from their chord.
func keepFar(line []spot, keep []bool, from, to int, tolerance float64) {
	farthest, off := 0, tolerance
	for i := from + 1; i < to; i++ {
		if d := offChord(line[i], line[from], line[to]); d > off {
			farthest, off = i, d
		}
	}
	if farthest == 0 {
		return
	}
	keep[farthest] = true
	keepFar(line, keep, from, farthest, tolerance)
	keepFar(line, keep, farthest, to, tolerance)
}

// offChord returns the distance of c from the segment between a and b.
func offChord(c, a, b spot) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	square := dx*dx + dy*dy
	if square == 0 {
		return a.to(c)
	}
	f := max(0, min(1, ((c.x-a.x)*dx+(c.y-a.y)*dy)/square))
	return spot{a.x + f*dx, a.y + f*dy}.to(c)
}

// roundStep returns the greatest step of 1, 2 or 5 times a power of ten that is not above the
// wanted one.
func roundStep(wanted float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(wanted)))
	for _, f := range []float64{5, 2} {
		if f*power <= wanted*(1+1e-9) {
			return f * power
		}
	}
	return power
}

// fewSteps returns the smallest round step that divides a span into at most so many parts.
func fewSteps(span float64, most int) float64 {
	step := roundStep(span / float64(most))
	for i := 0; span/step > float64(most) && i < 4; i++ {
		step = roundStep(step * 2.5)
	}
	return step
}

// stepDecimals returns how many decimals a scale with this step needs.
func stepDecimals(step float64) int {
	return max(0, -int(math.Floor(math.Log10(step)+1e-9)))
}
