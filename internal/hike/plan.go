package hike

import (
	"cmp"
	"slices"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/plan"
	"saltbush/internal/rules"
	"saltbush/internal/trail"
	"saltbush/internal/walk"
)

// PlanFor computes the plan of a hike on its trail. Without a forecast it returns a Refusal.
func PlanFor(h Hike, t trail.Trail, by string, now time.Time) (StoredPlan, error) {
	if h.Forecast == nil {
		return StoredPlan{}, fault.Refusal("No forecast has been typed for this hike, so there is no plan.")
	}
	in := plan.Input{
		Profile:  t.Profile,
		Surface:  t.Surface,
		Start:    h.Start.In(t.Location()),
		Forecast: *h.Forecast,
		Party:    walk.Party{Participants: h.Places, Staff: max(len(h.Staff), 1), Pace: h.Pace},
		Rules:    h.Rules().Planning,
		Points:   PlanPoints(t.Points),
		Turn:     min(h.Turn.Along, t.Profile.Far()),
	}
	p, err := plan.Compute(in)
	if err != nil {
		return StoredPlan{}, err
	}
	return StoredPlan{Hike: h.ID, Made: now, By: by, Plan: p, Inputs: PlanInputs{
		Trail: t.ID, Start: in.Start, Forecast: in.Forecast,
		Participants: in.Party.Participants, Staff: in.Party.Staff, Pace: string(h.Pace),
		House: &in.Rules, Turn: in.Turn,
	}}, nil
}

// PlanPoints converts a trail's points for the planning service, sorted by distance.
func PlanPoints(points []trail.Point) []plan.Point {
	named := make([]plan.Point, len(points))
	for i, p := range points {
		named[i] = plan.Point{Name: p.Name, Along: p.Along, Water: p.Kind == trail.Water, WaterSeen: p.WaterSeen}
	}
	slices.SortStableFunc(named, func(a, b plan.Point) int { return cmp.Compare(a.Along, b.Along) })
	return named
}

// forecastReach is how far ahead a forecast says something about a day. Our judgment: services
// publish daily figures for about a week, and call anything beyond it an outlook.
const forecastReach = 7 * 24 * time.Hour

// EarlyForecast returns how many days before the hike the plan's forecast was entered, if that
// is too early to say much about the day; otherwise 0.
func (p StoredPlan) EarlyForecast() int {
	if ahead := p.Inputs.Start.Sub(p.Made); ahead > forecastReach {
		return int(ahead / rules.Day)
	}
	return 0
}
