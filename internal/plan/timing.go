package plan

import (
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// timing is a walk laid out in time from its departure, whenever that is: how long each
// leg takes and how hard the party works on it.
type timing struct {
	legs     []track.Leg
	estimate walk.Estimate
	moved    unit.Mass
	terrain  supply.Terrain
	standing unit.Power
	far      unit.Length
}

func newMarch(in Input, legs []track.Leg, far unit.Length) (timing, error) {
	ways := make([]walk.Leg, len(legs))
	for i, l := range legs {
		ways[i] = walk.Leg{Length: l.To - l.From, Slope: l.Slope, Surface: in.Surface}
	}
	estimate, err := walk.NewEstimate(ways, in.Party)
	if err != nil {
		return timing{}, bad("trail", "has no walking time: %v", err)
	}
	m := timing{legs: legs, estimate: estimate, moved: in.Rules.BodyMass + in.Rules.Load,
		terrain: supply.TerrainOf(in.Surface), far: far}
	m.standing = supply.Metabolic(m.moved, 0, 0, m.terrain)
	return m, nil
}

// The two quantiles that the trade speaks of: as likely early as late, and nine in ten.
const (
	half      unit.Fraction = 0.5
	nineInTen unit.Fraction = 0.9
)

// reach returns how long the party takes to a place on the way at a quantile of its time.
func (m timing) reach(along unit.Length, q unit.Fraction) time.Duration {
	for i, l := range m.legs {
		if l.To < along {
			continue
		}
		before := m.estimate.Elapsed(i-1, q)
		share := float64((along - l.From) / (l.To - l.From))
		return before + time.Duration(max(0, share)*float64(m.estimate.Elapsed(i, q)-before))
	}
	return m.estimate.Quantile(q)
}

// wayBack returns the expected time from the far point to the end of the walk.
func (m timing) wayBack() time.Duration {
	return m.estimate.P50 - m.reach(m.far, half)
}

// worked is the work on leg i in watt seconds, when it takes so many seconds with its
// share of the breaks: walking for the moving share, standing for the rest.
func (m timing) worked(i int, took float64) float64 {
	leg := m.legs[i]
	moving := took * m.estimate.MovingP50.Seconds() / m.estimate.P50.Seconds()
	if !(moving > 0) {
		return 0
	}
	speed := unit.Speed((leg.To - leg.From).Metres() / moving)
	walking := supply.Metabolic(m.moved, speed, leg.Slope, m.terrain)
	return float64(walking)*moving + float64(m.standing)*(took-moving)
}

// timeline is a march at one quantile of its time, as it is carried through the table for
// every start that is asked for: stations on the way, and the hours between them.
type timeline struct {
	stations []station
	hours    []hour
}

// station is a place that the party reaches so many seconds after its departure.
type station struct {
	after float64
	spot  spot
}

// hour is a stretch of the walk that takes one hour, ending at a station, with the work of
// that hour and the limits for it. A walk of less than an hour is one hour of that work:
// House judgement, since what comes after it on the car park is not known.
type hour struct {
	first, last int     // stations at the ends of its first and last piece
	cut         float64 // seconds of the first piece that lie before the hour
	span        float64 // seconds
	power       unit.Power
	exposure    unit.Temperature // recommended exposure limit, for the acclimatised
	alert       unit.Temperature // recommended alert limit, for everybody else
}

const (
	hourSeconds = 3600.0
	// House judgement: an hour is looked at anew every five minutes, and at the very end.
	hourEach = 300.0
)

// newPassage lays a march through a table. Work and heat are averaged over the same hour,
// time-weighted and breaks counted, as the limits are written (NIOSH 2016-106, section
// 8.1), for hours that begin five minutes apart.
func newPassage(m timing, tb table, q unit.Fraction) timeline {
	p := timeline{stations: make([]station, len(m.legs))}
	worked := make([]float64, len(m.legs)+1) // watt seconds until the end of leg i-1
	total, before := m.estimate.Quantile(q).Seconds(), 0.0
	for i, leg := range m.legs {
		after := float64(m.estimate.Ends[i]) * total
		p.stations[i] = station{after, tb.spot(leg.Elevation)}
		worked[i+1] = worked[i] + m.worked(i, after-before)
		before = after
	}
	p.hours = p.cutHours(worked)
	return p
}

func (p timeline) end() float64 { return p.stations[len(p.stations)-1].after }

// began is when the piece that ends at station i began.
func (p timeline) began(i int) float64 {
	if i == 0 {
		return 0
	}
	return p.stations[i-1].after
}

func (p timeline) cutHours(worked []float64) []hour {
	last := len(p.stations) - 1
	if p.end() <= hourSeconds {
		return []hour{hourOf(0, last, 0, p.end(), worked[last+1])}
	}
	var hours []hour
	first, due := 0, hourSeconds
	for i, s := range p.stations {
		if s.after < due && i < last {
			continue
		}
		from := s.after - hourSeconds
		due = s.after + hourEach
		for p.stations[first].after <= from {
			first++
		}
		cut := from - p.began(first)
		piece := p.stations[first].after - p.began(first)
		work := worked[i+1] - worked[first] - (worked[first+1]-worked[first])*cut/piece
		hours = append(hours, hourOf(first, i, cut, hourSeconds, work))
	}
	return hours
}

// hourOf knows the limits for an hour's work in watt seconds.
func hourOf(first, last int, cut, span, work float64) hour {
	h := hour{first: first, last: last, cut: cut, span: span}
	if span > 0 {
		h.power = unit.Power(work / span)
	}
	h.exposure, h.alert = heat.ExposureLimit(h.power), heat.AlertLimit(h.power)
	return h
}

// hardest returns the work of the hardest hour.
func (p timeline) hardest() unit.Power {
	var power unit.Power
	for _, h := range p.hours {
		power = max(power, h.power)
	}
	return power
}

// hourMet is one hour of the walk: its work, the mean heat met in it, and the limit for
// that work.
type hourMet struct {
	hour
	from time.Time
	mean unit.Temperature
}

func (h hourMet) to() time.Time { return h.from.Add(time.Duration(h.span * float64(time.Second))) }
