package watch

import (
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/roll"
)

// PromiseOf reads what was promised before departure off a plan. The wait for the call
// in the plan tells whether its day was hot; who walks is read off the roster.
func PromiseOf(h hike.Hike, p plan.Plan, roster roll.Roster) Promise {
	out := Promise{
		Scheduled: h.Start,
		P50:       p.Time.P50.Duration(), P90: p.Time.P90.Duration(),
		HeatFlag: p.Heat.PeakAir >= plan.DefaultHouse().HotDay,
		OffBy:    p.Heat.OffBy.Time,
		Dusk:     p.Sun.CivilDusk.Time,
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
