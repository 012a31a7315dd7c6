package track

import (
	"math"
	"slices"

	"saltbush/internal/unit"
)

// Leg is a piece of the walk with one slope, in the direction of walking.
type Leg struct {
	From, To  unit.Length
	Rise      unit.Length
	Slope     unit.Slope
	Middle    unit.Position
	Elevation unit.Length // at the middle
}

// Legs cuts the whole walk, way back included, into equal legs of 50 to 100 m. Their lengths add up to Length. No leg
// crosses a gap, so less than 50 m between gaps is a shorter leg.
func (p Profile) Legs() []Leg {
	var legs []Leg
	for _, run := range p.unbroken() {
		legs = append(legs, cut(run)...)
	}
	if p.Shape != OutAndBack {
		return legs
	}
	for _, leg := range slices.Backward(slices.Clone(legs)) {
		legs = append(legs, leg.reversed(p.Length))
	}
	return legs
}

func (l Leg) reversed(length unit.Length) Leg {
	l.From, l.To = length-l.To, length-l.From
	l.Rise, l.Slope = -l.Rise, -l.Slope
	return l
}

// unbroken returns the samples between gaps, each as a profile of its own.
func (p Profile) unbroken() []Profile {
	var out []Profile
	from := 0
	for i := range p.Samples {
		if i+1 < len(p.Samples) && !p.Samples[i+1].Gap {
			continue
		}
		out = append(out, Profile{Shape: OneWay, Samples: p.Samples[from : i+1]})
		from = i + 1
	}
	return out
}

func cut(run Profile) []Leg {
	first, last := run.Samples[0].Along, run.oneWay()
	n := max(1, math.Floor(float64((last-first)/legLength)))
	if last == first {
		return nil
	}
	legs := make([]Leg, 0, int(n))
	a := run.Samples[0]
	for i := 1.0; i <= n; i++ {
		b := run.between(first + (last-first)*unit.Length(i/n))
		middle := run.between((a.Along + b.Along) / 2)
		legs = append(legs, Leg{
			From: a.Along, To: b.Along,
			Rise:   b.Elevation - a.Elevation,
			Slope:  slope(a, b),
			Middle: middle.At, Elevation: middle.Elevation,
		})
		a = b
	}
	return legs
}

func slope(a, b Sample) unit.Slope {
	return unit.Slope((b.Elevation - a.Elevation) / (b.Along - a.Along))
}

// findSteepest checks every stretch of steepLength that starts or ends at a sample. On a line of straight pieces the
// steepest one is among them.
func (p *Profile) findSteepest() {
	for _, run := range p.unbroken() {
		first, last := run.Samples[0].Along, run.oneWay()
		from, to := cursor{samples: run.Samples}, cursor{samples: run.Samples}
		for _, s := range run.Samples {
			if s.Along+steepLength <= last {
				p.steeper(s, to.at(s.Along+steepLength))
			}
			if s.Along-steepLength >= first {
				p.steeper(from.at(s.Along-steepLength), s)
			}
		}
	}
}

func (p *Profile) steeper(a, b Sample) {
	if s := slope(a, b); math.Abs(float64(s)) > math.Abs(float64(p.Steepest)) {
		p.Steepest, p.SteepestFrom, p.SteepestTo = s, a.Along, b.Along
	}
}

// cursor interpolates at distances that only grow.
type cursor struct {
	samples []Sample
	i       int
}

func (c *cursor) at(along unit.Length) Sample {
	for c.i+1 < len(c.samples)-1 && c.samples[c.i+1].Along < along {
		c.i++
	}
	return Profile{Samples: c.samples[c.i : c.i+2]}.between(along)
}
