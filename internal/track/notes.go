package track

import (
	"fmt"

	"saltbush/internal/unit"
)

// Our judgment: a one-way or out-and-back recording that ends this close to its
// start, as a share of its length, looks like one that holds the way back already.
const closedShare = 0.05

// notes puts into words what cleaning did and what looks odd.
func (c counts) notes(p Profile) []string {
	var out []string
	note := func(when bool, format string, args ...any) {
		if when {
			out = append(out, fmt.Sprintf(format, args...))
		}
	}
	note(c.repeats > 0, "%s repeated the one before and were left out.", counted(c.repeats, "point"))
	note(c.spikes > 0, "%s lay an impossible jump away from the rest and were left out.", counted(c.spikes, "point"))
	note(c.long > 0, "%s of more than %.0f m inside a recording counted in a straight line; look at the map.",
		counted(c.long, "step"), longStep.Metres())
	note(c.gaps > 0, "%s between recordings, %s in a straight line, not counted in distance or climb.",
		counted(c.gaps, "gap"), said(c.skipped))
	out = append(out, c.heightNotes(p)...)
	return append(out, shapeNotes(p)...)
}

func (c counts) heightNotes(p Profile) []string {
	switch {
	case c.noHeight == c.kept():
		return []string{"The recording has no heights: climb and slopes are unknown and shown as zero."}
	case !p.HasElevation:
		return []string{fmt.Sprintf("Heights are missing for %s in one stretch, too much to guess: climb and slopes "+
			"are unknown and shown as zero.", said(c.stretch))}
	case c.noHeight > 0:
		return []string{fmt.Sprintf("Heights were missing for %d of %d points and drawn in straight lines; the "+
			"longest such stretch is %s.",
			c.noHeight, c.kept(), said(c.stretch))}
	}
	return nil
}

func (c counts) kept() int { return c.fixes - c.repeats - c.spikes }

func shapeNotes(p Profile) []string {
	apart := p.Samples[0].At.DistanceTo(p.Samples[len(p.Samples)-1].At)
	closed := apart < unit.Length(closedShare)*p.oneWay()
	switch {
	case p.Shape == OutAndBack && closed:
		return []string{"The recording ends where it starts. If it holds the way back already, choose loop: as " +
			"out-and-back it counts twice."}
	case p.Shape == Loop && !closed:
		return []string{fmt.Sprintf("The recording ends %s from its start, which is not counted: is it a loop?",
			said(apart))}
	}
	return nil
}

func said(l unit.Length) string {
	if l < unit.Kilometre {
		return fmt.Sprintf("%.0f m", l.Metres())
	}
	return fmt.Sprintf("%.1f km", l.Kilometres())
}
