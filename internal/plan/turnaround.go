package plan

import (
	"fmt"
	"time"

	"saltbush/internal/unit"
)

// turnaround returns when to turn, and when to be at each named point, so that the way
// home still fits.
func (e evidence) turnaround() Turnaround {
	r := e.route
	back := r.march.wayBack()
	t := r.latestAt(e.met, back)
	if deadline, _ := r.deadline(e.met, back); !deadline.IsZero() {
		t.StartBy = instant(deadline.Add(-r.march.reach(r.march.far, half)).Truncate(time.Minute))
	}
	t.Points = []TurnPoint{}
	for _, p := range r.in.Points {
		at := r.latestAt(e.met, r.wayHome(p.Along))
		t.Points = append(t.Points, TurnPoint{Name: p.Name, Along: whole(p.Along), At: at.At, Because: at.Because})
	}
	return t
}

// latestAt returns the earliest of three limits at a place with a way home: daylight,
// heat and half the water.
func (r *route) latestAt(m meeting, home time.Duration) Turnaround {
	// Common practice, no source: turn when half the water is gone. Water is carried for
	// the nine-in-ten time, so half of it lasts half of that.
	t := Turnaround{
		At:      instant(m.start.Add(r.march.estimate.P90 / 2)),
		Because: "water: half of what each person carries is drunk by then",
	}
	if at, heat := r.deadline(m, home); !at.IsZero() && at.Before(t.At.Time) {
		t = Turnaround{At: instant(at), Because: r.deadlineWords(m, home, heat)}
	}
	t.At = instant(t.At.Truncate(time.Minute)) // never later than computed
	return t
}

// deadline returns the earlier of the limits that a clock sets, daylight and heat, less
// the way home lengthened by the house's return factor, and whether it is heat. It is zero
// where there is none.
func (r *route) deadline(m meeting, home time.Duration) (at time.Time, heat bool) {
	home = r.lengthened(home)
	if set := r.day.light.Set; !set.IsZero() {
		at = set.Add(-r.in.House.DaylightMargin - home)
	}
	if hot := m.offBy.Add(-home); !m.offBy.IsZero() && (at.IsZero() || hot.Before(at)) {
		return hot, true
	}
	return at, false
}

func (r *route) lengthened(home time.Duration) time.Duration {
	return time.Duration(float64(home) * r.in.House.ReturnFactor)
}

func (r *route) deadlineWords(m meeting, home time.Duration, heat bool) string {
	back := span(r.lengthened(home))
	if heat {
		return fmt.Sprintf("heat: the open trail passes its limit at %s, less %s for the way back", clock(m.offBy), back)
	}
	return fmt.Sprintf("daylight: sunset at %s, less a margin of %s, less %s for the way back",
		clock(r.day.light.Set), span(r.in.House.DaylightMargin), back)
}

// wayHome is the expected time from a place on the way to the end of the walk: by turning
// back, or by going on where that is sooner or where the way out is behind.
func (r *route) wayHome(along unit.Length) time.Duration {
	onward := r.march.estimate.P50 - r.march.reach(along, half)
	if along <= 0 {
		return 0 // at the trailhead there is nothing to walk back
	}
	if along > r.lastTurn() {
		return onward
	}
	turned, err := newMarch(r.in, turnedAt(r.march.legs, along), along)
	if err != nil {
		return onward // so near the start that there is nothing to walk
	}
	return min(onward, turned.wayBack())
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
