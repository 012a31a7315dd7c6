package plan

import (
	"fmt"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/supply"
	"saltbush/internal/track"
)

// Compute answers one input. The error is an InputError (or several joined) where the
// input is at fault.
func Compute(in Input) (Plan, error) {
	if err := in.Validate(); err != nil {
		return Plan{}, err
	}
	d, err := newDay(in)
	if err != nil {
		return Plan{}, err
	}
	m, err := newMarch(in)
	if err != nil {
		return Plan{}, fmt.Errorf("walking time: %w", err)
	}
	e, err := gather(in, m, d)
	if err != nil {
		return Plan{}, err
	}
	hours, err := d.hours()
	if err != nil {
		return Plan{}, err
	}
	return e.plan(hours), nil
}

// gather works out everything that figures and verdict share.
func gather(in Input, m march, d day) (evidence, error) {
	met, err := d.met(m)
	if err != nil {
		return evidence{}, err
	}
	power := m.hardestHour(in.House.BodyMass, in.House.Load, supply.TerrainOf(in.Surface))
	e := evidence{in: in, march: m, light: d, peak: met,
		exposure: heat.ExposureLimit(power),
		alert:    heat.AlertLimit(power),
		drink:    supply.Drink(met.wbgt, power, in.Forecast.Cloud < sunnyBelow),
	}
	if e.offBy, err = d.offBy(in, e.exposure); err != nil {
		return evidence{}, err
	}
	return e, nil
}

// House judgement: below half cover the sun is on the walker most of the time.
const sunnyBelow = 0.5

func (e evidence) plan(hours []Hour) Plan {
	return Plan{
		Model:      Model,
		Trail:      trailOf(e.in.Profile),
		Time:       e.time(),
		Sun:        e.sun(),
		Heat:       e.heat(hours),
		Water:      e.water(),
		Food:       e.food(),
		Return:     e.promise(),
		Turnaround: turnaround(e.in, e.march, e.light, e.offBy),
		Verdict:    verdict(e),
		Cautions:   Cautions(),
	}
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

func (e evidence) time() Time {
	t := e.march.estimate
	return Time{MovingP50: seconds(t.MovingP50), Breaks: seconds(t.Breaks), P50: seconds(t.P50), P90: seconds(t.P90)}
}

func (e evidence) sun() Sun {
	l := e.light.light
	return Sun{CivilDawn: instant(l.CivilDawn), Sunrise: instant(l.Rise), Sunset: instant(l.Set), CivilDusk: instant(l.CivilDusk)}
}

func (e evidence) heat(hours []Hour) Heat {
	limit := e.alert
	if e.in.Acclimatised {
		limit = e.exposure
	}
	return Heat{PeakWBGT: tenth(e.peak.wbgt), PeakAir: tenth(e.peak.air), PeakAt: instant(e.peak.at),
		Limit: tenth(limit), OffBy: instant(e.offBy), Hours: hours}
}

func (e evidence) water() Water {
	w := Water{
		Drink:       hundredth(e.drink),
		Carry:       supply.Carry(hundredth(e.drink), e.march.estimate.P90),
		BeforeStart: supply.BeforeStart,
	}
	if !e.in.Party.Alone() {
		w.Reserve = hundredth(supply.GroupReserve(e.in.Party.Participants + e.in.Party.Staff))
	}
	return w
}

func (e evidence) food() Food {
	power := e.march.hardestHour(e.in.House.BodyMass, e.in.House.Load, supply.TerrainOf(e.in.Surface))
	low, high, carry := supply.Food(power, e.march.estimate.P90)
	return Food{Low: whole(low), High: whole(high), Carry: whole(carry), BeforeStart: supply.BeforeStartFood}
}

// promise fixes expected, watch and call time before departure (NPS trip plans: "if not
// back by T, call").
func (e evidence) promise() Return {
	wait := e.in.House.CallAfter
	if e.peak.air >= e.in.House.HotDay {
		wait = e.in.House.CallAfterHeat
	}
	upTo := func(d time.Duration) time.Time { return ceilMinute(e.in.Start.Add(d)) }
	return Return{
		Expected: instant(upTo(e.march.estimate.P50)),
		Watch:    instant(upTo(e.march.estimate.P90)),
		Call:     instant(upTo(e.march.estimate.P90).Add(wait)),
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
