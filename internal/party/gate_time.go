package party

import (
	"fmt"
	"time"

	"saltbush/internal/unit"
)

// checkTime asks whether a party that leaves at a time is off the trail before heat or darkness. A
// late start makes the return later and moves no limit.
func (g *gate) checkTime(at time.Time) {
	way, off := g.terms.wayOf(g.Route), g.terms.Off
	if off.IsZero() || way.Late <= 0 {
		return
	}
	clock := func(t time.Time) string { return t.In(off.Location()).Format("15:04") }
	back := unit.UpToMinute(at.Add(way.Late))
	words := fmt.Sprintf("A party that leaves at %s is back by %s (nine in ten are). Everybody must be off the trail "+
		"by %s", clock(at), clock(back), clock(off))
	if !back.After(off) {
		g.add("Time", Fine, words+".", "")
		return
	}
	words += " (" + g.terms.OffBecause + "). Do not "
	if short := g.terms.Short; g.Route != RouteShort && short != nil {
		words += "take the full route. "
		if by := unit.UpToMinute(at.Add(short.Late)); short.Late > 0 && !by.After(off) {
			words += fmt.Sprintf("The short option%s is back by %s.", short.TurnsAt(), clock(by))
		} else {
			words += "It is too late for the short option too."
		}
	} else {
		words += "go."
	}
	g.add("Time", Block, words, "it was too late to be off the trail by "+clock(off))
}
