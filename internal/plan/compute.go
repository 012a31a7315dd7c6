package plan

import (
	"math"
	"time"

	"saltbush/internal/caution"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// Compute answers one input. The error is an InputError (or several joined) where the
// input is at fault.
func Compute(in Input) (Plan, error) {
	if err := in.Validate(); err != nil {
		return Plan{}, err
	}
	r, err := newRoute(in)
	if err != nil {
		return Plan{}, err
	}
	e := results{route: r, met: r.simulate(in.Start), air: r.hottestAir()}
	if e.hotter, err = r.hotter(); err != nil {
		return Plan{}, err
	}
	return e.plan(), nil
}

// hotter meets the planned start again on a day that is hotter than forecast by as much
// as the house allows for. Without an allowance it is nil.
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
	h, err := r.onDay(in, d, in.Start, in.Start.Add(r.march.estimate.P90))
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

// results is all that the plan and its verdict are taken from.
type results struct {
	route  *route
	met    outcome
	air    unit.Temperature
	hotter *outcome // the same start on a day hotter than forecast; nil where not asked
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
		Return:     e.promise(),
		Turnaround: e.turnaround(),
		Window:     e.route.window(),
		Short:      e.shortOption(),
		Verdict:    verdict(e),
		Cautions:   caution.ForPlan(),
	}
	p.Verdict.Instead = e.instead(p)
	return p
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

func (e results) sun() Sun {
	l := e.route.day.light
	return Sun{CivilDawn: instant(l.CivilDawn), Sunrise: instant(l.Rise), Sunset: instant(l.Set),
		CivilDusk: instant(l.CivilDusk)}
}

func (e results) heat() Heat {
	r, m := e.route, e.met
	limit := r.alert
	if r.in.Acclimatised {
		limit = r.limit
	}
	return Heat{PeakWBGT: tenth(m.wbgt), PeakAir: tenth(e.air), PeakAt: instant(r.table.moment(m.wbgtAt)),
		Limit: tenth(limit), AlertLimit: tenth(r.alert), ExposureLimit: tenth(r.limit), OffBy: instant(m.offBy),
		WorstHour: e.worstHour(), Hours: r.day.hours(r.table)}
}

// worstHour is judged by the limit that holds for these people.
func (e results) worstHour() WorstHour {
	h, limit := e.met.alert, e.met.alert.alert
	if e.route.in.Acclimatised {
		h, limit = e.met.exposure, e.met.exposure.exposure
	}
	return WorstHour{From: instant(h.from), To: instant(h.to()), WBGT: tenth(h.mean), Work: whole(h.power),
		Limit: tenth(limit)}
}

// hottestAir is the highest air temperature that the party meets at either pace.
func (r *route) hottestAir() unit.Temperature {
	hottest := coldestAir
	for _, p := range r.passages {
		for i, s := range p.stations {
			after := time.Duration(s.after * float64(time.Second))
			air, _ := r.day.shade(r.day.weather(r.in.Start.Add(after)), r.march.legs[i].Elevation)
			hottest = max(hottest, air)
		}
	}
	return hottest
}

func (e results) food() Food {
	low, high, carry := supply.Food(e.route.power, e.route.march.estimate.P90)
	return Food{Low: whole(low), High: whole(high), Carry: whole(carry), BeforeStart: supply.BeforeStartFood}
}

// promise fixes expected, watch and call time before departure (NPS trip plans: "if not
// back by T, call").
func (e results) promise() Return {
	in, took := e.route.in, e.route.march.estimate
	wait := in.Rules.CallAfter
	if e.air >= in.Rules.HotDay-slack {
		wait = in.Rules.UrgentAfter
	}
	upTo := func(d time.Duration) time.Time { return ceilMinute(in.Start.Add(d)) }
	return Return{
		Expected: instant(upTo(took.P50)),
		Watch:    instant(upTo(took.P90)),
		Call:     instant(upTo(took.P90).Add(wait)),
	}
}

// ceilMinute rounds up: a clock that people read has minutes, and a promise is not
// shortened by rounding.
func ceilMinute(t time.Time) time.Time {
	if r := t.Truncate(time.Minute); !r.Equal(t) {
		return r.Add(time.Minute)
	}
	return t
}

// Figures are rounded once, here, to no more digits than they deserve.

func whole[T ~float64](v T) T { return T(math.Round(float64(v))) }

func tenth[T ~float64](v T) T { return T(math.Round(float64(v)*10) / 10) }

func hundredth[T ~float64](v T) T { return T(math.Round(float64(v)*100) / 100) }
