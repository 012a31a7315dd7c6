package plan

import (
	"fmt"
	"time"
)

// turnaround returns the earliest of three limits: daylight, heat and half the water.
// Each leaves the way back, lengthened by the house's return factor, before its end.
func (e evidence) turnaround() Turnaround {
	in, m, d, offBy := e.route.in, e.route.march, e.route.day, e.met.offBy
	back := time.Duration(float64(m.wayBack()) * in.House.ReturnFactor)
	// Common practice, no source: turn when half the water is gone. Water is carried for
	// the nine-in-ten time, so half of it lasts half of that.
	first := Turnaround{
		At:      instant(in.Start.Add(m.estimate.P90 / 2)),
		Because: "water: half of what each person carries is drunk by then",
	}
	earlier := func(at time.Time, because string) {
		if at.Before(first.At.Time) {
			first = Turnaround{At: instant(at), Because: because}
		}
	}
	if !d.light.Set.IsZero() {
		earlier(d.light.Set.Add(-in.House.DaylightMargin-back), fmt.Sprintf(
			"daylight: sunset at %s, less a margin of %s, less %s for the way back",
			clock(d.light.Set), span(in.House.DaylightMargin), span(back)))
	}
	if !offBy.IsZero() {
		earlier(offBy.Add(-back), fmt.Sprintf(
			"heat: the open trail passes its limit at %s, less %s for the way back", clock(offBy), span(back)))
	}
	first.At = instant(first.At.Truncate(time.Minute)) // never later than computed
	return first
}

func clock(t time.Time) string { return t.Format("15:04") }

// span writes a duration as people say it, to the minute.
func span(d time.Duration) string {
	m := int(d.Round(time.Minute) / time.Minute)
	switch {
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	default:
		return fmt.Sprintf("%d h %02d", m/60, m%60)
	}
}
