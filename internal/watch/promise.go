package watch

import (
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/roll"
	"saltbush/internal/unit"
)

// PromiseOf reads what was promised before departure off a plan. The wait for the call
// in the plan tells whether its day was hot; who walks is read off the roster.
func PromiseOf(h hike.Hike, p plan.Plan, roster roll.Roster) Promise {
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

// Point is a named place on the way.
type Point struct {
	Name  string
	Along unit.Length
	// Share is the share of the walk's time that is over here, BackShare the same when passing again on the way
	// back; zero where the walk does not.
	Share, BackShare unit.Fraction
}

func pointsOf(t plan.Time) []Point {
	var list []Point
	for _, p := range t.Points {
		list = append(list, Point{Name: p.Name, Along: p.Along, Share: p.Share, BackShare: p.BackShare})
	}
	return list
}
