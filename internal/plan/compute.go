package plan

import (
	"math"
	"slices"

	"saltbush/internal/caution"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// Compute makes the plan of one input. The error is an InputError, or several joined, where the input is at fault.
func Compute(in Input) (Plan, error) {
	if err := in.Validate(); err != nil {
		return Plan{}, err
	}
	r, err := newRoute(in)
	if err != nil {
		return Plan{}, err
	}
	e := results{route: r, outcome: r.simulate(in.Start), air: r.hottestAir()}
	if e.hotter, err = r.hotter(); err != nil {
		return Plan{}, err
	}
	return e.plan(), nil
}

// hotter simulates the planned start on a day that is hotter than forecast by the allowance of the rules. Without an
// allowance it returns nil.
func (r *route) hotter() (*outcome, error) {
	in := r.in
	if !(in.Rules.ForecastError > 0) {
		return nil, nil
	}
	in.Forecast = in.Forecast.hotter(in.Rules.ForecastError)
	d, err := newDay(in)
	if err != nil {
		return nil, err
	}
	h, err := r.onDay(in, d, in.Start, in.Start.Add(r.timing.estimate.P90))
	if err != nil {
		return nil, err
	}
	m := h.simulate(in.Start)
	return &m, nil
}

// hotter raises every air temperature and leaves the moisture as it is.
func (f Forecast) hotter(by unit.Temperature) Forecast {
	f.Low, f.High = f.Low+by, f.High+by
	lines := make([]HourlyAir, len(f.Hourly))
	for i, h := range f.Hourly {
		h.Air += by
		lines[i] = h
	}
	f.Hourly = lines
	return f
}

// results is everything that the plan and its verdict are made from.
type results struct {
	route   *route
	outcome outcome          // of the planned start
	air     unit.Temperature // the hottest met
	hotter  *outcome         // the same start on a hotter day, nil without an allowance
}

func (e results) plan() Plan {
	p := Plan{
		Model:      Model,
		Trail:      trailOf(e.route.in.Profile),
		Time:       e.time(),
		Sun:        e.sun(),
		Official:   e.route.in.Forecast.Official,
		Heat:       e.heat(),
		Water:      e.water(),
		Food:       e.food(),
		Turnaround: e.turnaround(),
		Window:     e.route.window(),
		Short:      e.shortOption(),
		Verdict:    verdict(e),
		Cautions:   caution.ForPlan(),
	}
	p.Verdict.Instead = e.instead(p)
	return p
}

// planFigures explain a plan, in its order.
func planFigures() []figure {
	return slices.Concat(
		[]figure{{"model", "version of the formulas", "", byJudgement}},
		under("trail", trailFigures()),
		under("time", timeFigures()),
		under("official", officialFigures()),
		under("sun", sunFigures()),
		under("heat", heatFigures()),
		under("water", waterFigures()),
		under("food", foodFigures()),
		under("return", returnFigures()),
		under("turnaround", turnaroundFigures()),
		under("start_window", windowFigures()),
		under("short_option", shortFigures()),
		under("verdict", verdictFigures()),
	)
}

func trailOf(p track.Profile) Trail {
	rating := track.Rate(p.Length, p.Ascent, p.Steepest)
	notes := p.Notes
	if notes == nil {
		notes = []string{}
	}
	return Trail{
		Distance: whole(p.Length), Ascent: whole(p.Ascent), Descent: whole(p.Descent),
		Lowest: whole(p.Lowest), Highest: whole(p.Highest), Steepest: tenth(p.Steepest.Percent()),
		Rating: Rating{Number: rating.Number, Class: rating.Class, Raised: rating.Raised},
		Notes:  notes,
	}
}

func trailFigures() []figure {
	return []figure{
		{"distance_m", "sum of the cleaned steps, way back included", "{way}", track.Source},
		{"ascent_m", "rises between turning points of the smoothed heights", "{way}", track.Source},
		{"descent_m", "falls between turning points of the smoothed heights", "{way}", track.Source},
		{"lowest_m", "lowest smoothed height", "{way}", track.Source},
		{"highest_m", "highest smoothed height", "{way}", track.Source},
		{"steepest_percent", "slope of the steepest 100 m", "{way}", track.Source},
		{"rating.number", track.RatingFormula, "{way}", track.RatingSource},
		{"rating.class", track.ClassFormula, "{way}", track.ClassSource},
	}
}

func (e results) food() Food {
	low, high, carry := supply.Food(e.route.power, e.route.timing.estimate.P90)
	return Food{Low: whole(low), High: whole(high), Carry: whole(carry), BeforeStart: supply.BeforeStartFood}
}

func foodFigures() []figure {
	return []figure{
		{"kcal_per_h_low", "100, or the spend if less", "{body}", byPractice},
		{"kcal_per_h_high", "200, or the spend if less", "{body}", byPractice},
		{"carry_kcal_per_person", "between low and high by the hardest hour's work, x P90, up to the next 50",
			"P90 {p90}",
			byPractice},
		{"before_start_kcal", "eaten before the trailhead", "", byPractice},
	}
}

func returnFigures() []figure {
	const trips = "US National Park Service trip plans: two times set before departure"
	return []figure{
		{"expected", "start + P50, rounded up to the minute", "{start}, P50 {p50}", trips},
		{"latest", "start + P90, rounded up to the minute", "{start}, P90 {p90}", trips},
		{"watch", "start + the time that the house's share of walks stays under, rounded up to the minute, but no " +
			"later than dark or the end of the water; on the day it counts from the real departure",
			"{start}, P90 {p90}", trips},
		{"call", "watch time + the house's wait, the shorter one on a hot day, with minors or with few adults, or " +
			"where dark or the end of the water comes first", "{weather}", trips},
	}
}

// Figures are rounded once, by these, to no more digits than they deserve.

func whole[T ~float64](v T) T { return T(math.Round(float64(v))) }

func tenth[T ~float64](v T) T { return T(math.Round(float64(v)*10) / 10) }

func hundredth[T ~float64](v T) T { return T(math.Round(float64(v)*100) / 100) }
