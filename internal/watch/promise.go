package watch

import (
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// PromiseOf reads what was promised before departure off a plan. The wait for the call
// in the plan tells whether its day was hot; who walks is read off the roster.
func PromiseOf(h hike.Hike, p plan.Plan, roster party.Roster) Promise {
	out := Promise{
		Scheduled: h.Start,
		P50:       p.Time.P50.Duration(), P90: p.Time.P90.Duration(),
		HeatFlag: p.Heat.PeakAir >= h.Rules().HotDay,
		OffBy:    p.Heat.OffBy.Time,
		Dusk:     p.Sun.CivilDusk.Time,
		Points:   pointsOf(p.Time),
		Margins:  MarginsOf(h.Rules()),
	}
	for _, e := range roster {
		if e.Minor {
			out.Minors = true
		} else {
			out.Adults++
		}
	}
	if rate := p.Water.Drink.LitresPerHour(); rate > 0 {
		out.WaterBy = h.Start.Add(time.Duration(p.Water.Carry.Litres() / rate * float64(time.Hour)))
	}
	return out
}

// Point is a named place with the time from departure at which half of such parties, and
// nine in ten, have come to it.
type Point struct {
	Name     string
	Along    unit.Length
	P50, P90 time.Duration
	// BackP50 and BackP90 are those of passing again on the way back, zero where the walk
	// does not.
	BackP50, BackP90 time.Duration
}

// pointsOf reads the places off a plan. Both times of a place are the same share of the
// walk's, so their difference gives the share whatever start the plan was made for.
func pointsOf(t plan.Time) []Point {
	spread := (t.P90 - t.P50).Duration()
	if spread <= 0 {
		return nil
	}
	scaled := func(p50, p90 plan.Instant, whole plan.Seconds) time.Duration {
		return time.Duration(float64(p90.Sub(p50.Time)) / float64(spread) * float64(whole.Duration()))
	}
	var list []Point
	for _, p := range t.Points {
		list = append(list, Point{Name: p.Name, Along: p.Along,
			P50: scaled(p.P50, p.P90, t.P50), P90: scaled(p.P50, p.P90, t.P90),
			BackP50: scaled(p.BackP50, p.BackP90, t.P50), BackP90: scaled(p.BackP50, p.BackP90, t.P90)})
	}
	return list
}
