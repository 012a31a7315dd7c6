package track

import "saltbush/internal/unit"

// Turned returns the walk that turns back at a distance from the start and returns the same way. Where that is no
// nearer than the far point the walk stays as it is. A profile without samples knows no climb of a part.
func (p Profile) Turned(at unit.Length) Profile {
	if !(at > 0) || at >= p.Far() {
		return p
	}
	t := Profile{Shape: OutAndBack, HasElevation: p.HasElevation, Samples: p.until(at), Notes: p.Notes}
	t.Length = 2 * at
	t.Lowest, t.Highest = t.Samples[0].Elevation, t.Samples[0].Elevation
	for _, run := range t.unbroken() {
		heights := make([]float64, len(run.Samples))
		for i, s := range run.Samples {
			heights[i] = s.Elevation.Metres()
			t.Lowest, t.Highest = min(t.Lowest, s.Elevation), max(t.Highest, s.Elevation)
		}
		up, down := climb(heights, heightStep)
		t.Ascent += centimeter(up.Metres()) + centimeter(down.Metres())
	}
	t.Descent = t.Ascent
	t.findSteepest()
	return t
}

// until returns the samples up to a distance, the place at that distance included.
func (p Profile) until(at unit.Length) []Sample {
	var out []Sample
	for _, s := range p.Samples {
		if s.Along > at || s.Along == at && s.Gap {
			break
		}
		out = append(out, s)
	}
	if end := p.between(at); out[len(out)-1].Along < at {
		out = append(out, end)
	}
	return out
}
