package plan

import (
	"fmt"
	"time"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// turnaround returns when to turn, and when to be at each named point, so that the way
// home still fits.
func (e results) turnaround() Turnaround {
	r := e.route
	back := r.march.wayBack()
	var t Turnaround
	if r.in.Profile.Shape != track.OneWay {
		t.At, t.Because = r.latestAt(e.met, back, true)
	}
	if off, heat := r.deadline(e.met, 0); !off.IsZero() {
		t.OffTrail, t.OffTrailBecause = instant(off.Truncate(time.Minute)), r.deadlineWords(e.met, 0, heat)
	}
	if deadline, _ := r.deadline(e.met, back); !deadline.IsZero() {
		t.StartBy = instant(deadline.Add(-r.march.reach(r.march.far, half)).Truncate(time.Minute))
	}
	t.Points = []TurnPoint{}
	for _, p := range r.in.Points {
		at, because := r.latestAt(e.met, r.wayHome(p.Along), p.Along <= r.lastTurn())
		t.Points = append(t.Points, TurnPoint{Name: p.Name, Along: whole(p.Along), At: at, Because: because})
	}
	return t
}

// latestAt returns the earliest of three limits at a place with a way home: daylight,
// heat and, where one turns back there, half the water.
func (r *route) latestAt(m outcome, home time.Duration, turns bool) (at Instant, because string) {
	if turns {
		// Common practice, no source: turn when half the water is gone. Water is carried for
		// the nine-in-ten time, so half of it lasts half of that.
		at, because = instant(m.start.Add(r.march.estimate.P90/2)),
			"water: half of what each person carries is drunk by then"
	}
	if end, heat := r.deadline(m, home); !end.IsZero() && (at.IsZero() || end.Before(at.Time)) {
		at, because = instant(end), r.deadlineWords(m, home, heat)
	}
	if at.IsZero() {
		return at, ""
	}
	return instant(at.Truncate(time.Minute)), because // never later than computed
}

// deadline returns the earlier of the limits that a clock sets, daylight and heat, less
// the way home lengthened by the house's return factor, and whether it is heat. It is zero
// where there is none.
func (r *route) deadline(m outcome, home time.Duration) (at time.Time, heat bool) {
	home = r.lengthened(home)
	if set := r.day.light.Set; !set.IsZero() {
		at = set.Add(-r.in.Rules.DaylightMargin - home)
	}
	if hot := m.offBy.Add(-home); !m.offBy.IsZero() && (at.IsZero() || hot.Before(at)) {
		return hot, true
	}
	return at, false
}

func (r *route) lengthened(home time.Duration) time.Duration {
	return time.Duration(float64(home) * float64(r.in.Rules.ReturnFactor))
}

func (r *route) deadlineWords(m outcome, home time.Duration, heat bool) string {
	back := ""
	if home > 0 {
		back = fmt.Sprintf(", less %s for the way back", span(r.lengthened(home)))
	}
	if heat {
		return fmt.Sprintf("heat: the open trail passes its limit at %s%s", clock(m.offBy), back)
	}
	return fmt.Sprintf("daylight: sunset at %s, less a margin of %s%s",
		clock(r.day.light.Set), span(r.in.Rules.DaylightMargin), back)
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
