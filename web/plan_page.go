package web

import (
	"fmt"
	"math"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/web/view"
)

// hikePlan fills the plan as staff read it, or why there is none.
func (s *Server) hikePlan(p *view.HikePage, t told) {
	if t.plan == nil {
		p.NoPlan = "No forecast has been typed for this day. Without one there is no plan: nothing here is known to be safe."
		return
	}
	zone, u := t.zone(), p.Units
	p.Plan = staffPlan(t, zone, u)
	p.Plan.Day = view.DrawnDay(view.NewDayDrawing(*t.plan, zone, u))
	p.Plan.Stale = stale(t)
}

// stale says why a plan no longer answers for the hike as it stands.
func stale(t told) string {
	in := t.stored.Inputs
	switch {
	case !in.Start.Equal(t.hike.Start):
		return "The start was moved since. Type the forecast again for a new plan."
	case in.Trail != t.hike.Trail:
		return "The trail was changed since. Type the forecast again for a new plan."
	case in.Participants != t.hike.Places || in.Pace != string(t.hike.Pace):
		return "Party or pace were changed since. Type the forecast again for a new plan."
	}
	return ""
}

func staffPlan(t told, zone *time.Location, u view.System) *view.HikePlan {
	p := t.plan
	at := func(i plan.Instant) string { return view.Clock(i.Time, zone) }
	return &view.HikePlan{
		Verdict: view.VerdictStamp(string(p.Verdict.Decision)), Reasons: p.Verdict.Reasons,
		Time: timeRange(p), Return: backRange(t, zone),
		Turnaround: at(p.Turnaround.At), Because: p.Turnaround.Because,
		Start: view.Clock(t.hike.Start, zone), Expected: at(p.Return.Expected), Watch: at(p.Return.Watch), Call: at(p.Return.Call),
		FirstLight: at(p.Sun.CivilDawn), Sunrise: at(p.Sun.Sunrise), Sunset: at(p.Sun.Sunset), LastLight: at(p.Sun.CivilDusk),
		WaterEach: view.Volume(p.Water.Carry, u), WaterGroup: view.Volume(p.Water.Reserve, u),
		WaterBefore: view.Volume(p.Water.BeforeStart, u), Rate: view.Flow(p.Water.Drink, u),
		FoodRate: fmt.Sprintf("%.0f to %.0f kcal an hour", p.Food.Low.KilocaloriesPerHour(), p.Food.High.KilocaloriesPerHour()),
		FoodEach: view.Energy(p.Food.Carry), FoodBefore: view.Energy(p.Food.BeforeStart),
		Heat: heatTable(p, zone, u), Cautions: p.Cautions, Model: p.Model,
		Made: view.Moment(t.stored.Made, zone) + " by " + t.stored.By, From: forecastWords(t.stored.Inputs, u),
	}
}

func forecastWords(in hike.PlanInputs, u view.System) string {
	f := in.Forecast
	return fmt.Sprintf("low %s, high %s, dew point %s, wind %s, cloud %s; start %s, %s and %s, %s pace",
		view.Temperature(f.Low, u), view.Temperature(f.High, u), view.Temperature(f.DewPoint, u), view.Speed(f.Wind, u), view.Percent(f.Cloud.Percent()),
		in.Start.Format("15:04"), view.Count(in.Participants, "walker", "walkers"), view.Count(in.Staff, "leader", "leaders"), in.Pace)
}

func heatTable(p *plan.Plan, zone *time.Location, u view.System) view.HeatTableText {
	t := view.HeatTableText{
		Temperature: view.TemperatureUnit(u),
		Peak:        fmt.Sprintf("WBGT %s at %s, air up to %s", view.Temperature(p.Heat.PeakWBGT, u), view.Clock(p.Heat.PeakAt.Time, zone), view.Temperature(p.Heat.PeakAir, u)),
		Limit:       view.Temperature(p.Heat.Limit, u),
	}
	if !p.Heat.OffBy.IsZero() {
		t.OffBy = view.Clock(p.Heat.OffBy.Time, zone)
	}
	for _, h := range p.Heat.Hours {
		t.Rows = append(t.Rows, view.HeatRow{
			At: view.Clock(h.At.Time, zone), Air: view.Degrees(h.Air, u), Humidity: fmt.Sprintf("%.0f", float64(h.Humidity)),
			Sun: fmt.Sprintf("%.0f", h.Solar.WattsPerSquareMetre()), WBGT: view.Degrees(h.WBGT, u), HeatIndex: view.Degrees(h.HeatIndex, u),
			Walk: inWalk(p, h), Over: h.WBGT > p.Heat.Limit,
		})
	}
	return t
}

// round1 keeps one decimal.
func round1(v float64) float64 { return math.Round(v*10) / 10 }
