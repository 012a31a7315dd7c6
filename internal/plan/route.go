package plan

import (
	"slices"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// route is a walk on its day, from which any start can be simulated.
type route struct {
	in             Input
	day            day
	table          table
	timing         timing
	timelines      [2]timeline // at the median, and at nine in ten
	lowest         unit.Length
	power          unit.Power       // mean of the hardest hour at the median pace
	limit, alert   unit.Temperature // for that hour: of the acclimatized, of everybody else
	hot            []stretch
	sums           []float64     // scratch space of simulate
	toFar, fromFar time.Duration // expected, to the far point and from there to the end
	// share of the time of the whole trail where the walk is cut short, else zero.
	share float64
}

// newRoute places the whole walk in its day. The table covers the light of the day and the planned walk.
func newRoute(in Input) (*route, error) {
	d, err := newDay(in)
	if err != nil {
		return nil, err
	}
	m, err := newTiming(in, in.Profile.Legs(), in.Profile.Far())
	if err != nil {
		return nil, err
	}
	lowest, highest := heights(in.Profile, m.legs)
	whole := m.estimate.P90
	if in.Turn > 0 {
		if m, err = newTiming(in, cutShort(m.legs, in.Turn), in.Turn); err != nil {
			return nil, err
		}
		in = in.turned()
	}
	from := earlier(in.Start, d.first)
	to := later(in.Start.Add(m.estimate.P90), d.last.Add(time.Hour))
	tb, err := newTable(d, from, to, lowest, highest)
	if err != nil {
		return nil, err
	}
	r := layRoute(in, d, tb, m)
	if in.Turn > 0 {
		r.share = float64(m.estimate.P90) / float64(whole)
	}
	return r, nil
}

// turned cuts the profile and the points of the input at the turn.
func (in Input) turned() Input {
	in.Profile = in.Profile.Turned(in.Turn)
	in.Points = slices.DeleteFunc(slices.Clone(in.Points), func(p Point) bool { return p.Along > in.Turn })
	return in
}

// layRoute places a walk in a day whose table is there already.
func layRoute(in Input, d day, tb table, m timing) *route {
	r := &route{in: in, day: d, table: tb, timing: m}
	for i, q := range []unit.Fraction{half, nineInTen} {
		r.timelines[i] = newTimeline(m, tb, q)
	}
	r.power = r.timelines[0].hardest()
	r.limit, r.alert = heat.ExposureLimit(r.power), heat.AlertLimit(r.power)
	r.lowest, _ = heights(track.Profile{Lowest: m.legs[0].Elevation, Highest: m.legs[0].Elevation}, m.legs)
	r.hot = hotStretches(tb, r.lowest, r.limit, in.Rules.Ladder)
	r.sums = make([]float64, len(m.legs)+1)
	r.toFar, r.fromFar = m.reach(m.far, half), m.wayBack()
	return r
}

// onDay carries a route over to another day. The table has the same levels, so the timelines still fit.
func (r *route) onDay(in Input, d day, from, to time.Time) (*route, error) {
	levels := r.table.levels
	tb, err := newTable(d, from, to, levels[0], levels[len(levels)-1])
	if err != nil {
		return nil, err
	}
	other := *r
	other.in, other.day, other.table = in, d, tb
	other.hot = hotStretches(tb, r.lowest, r.limit, in.Rules.Ladder)
	return &other, nil
}

// heights returns the lowest and the highest point of the walk.
func heights(p track.Profile, legs []track.Leg) (lowest, highest unit.Length) {
	lowest, highest = p.Lowest, p.Highest
	for _, l := range legs {
		lowest, highest = min(lowest, l.Elevation), max(highest, l.Elevation)
	}
	return lowest, highest
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// timing is a walk by time since departure: how long each leg takes, and how hard the party works on it.
type timing struct {
	legs     []track.Leg
	estimate walk.Estimate
	moved    unit.Mass
	terrain  supply.Terrain
	standing unit.Power
	far      unit.Length
}

func newTiming(in Input, legs []track.Leg, far unit.Length) (timing, error) {
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

// The two quantiles that leaders use: the median, and nine in ten.
const (
	half      unit.Fraction = 0.5
	nineInTen unit.Fraction = 0.9
)

// shareAt returns the share of the walk's time that is over at a place on the way. It is the same at all quantiles.
func (m timing) shareAt(along unit.Length) unit.Fraction {
	before := unit.Fraction(0)
	for i, l := range m.legs {
		end := m.estimate.Ends[i]
		if l.To >= along {
			part := unit.Fraction((along - l.From) / (l.To - l.From))
			return before + max(0, part)*(end-before)
		}
		before = end
	}
	return 1
}

// reach returns how long the party takes to a place on the way at a quantile of its time.
func (m timing) reach(along unit.Length, q unit.Fraction) time.Duration {
	return m.estimate.Reach(m.shareAt(along), q)
}

// wayBack returns the expected time from the far point to the end of the walk.
func (m timing) wayBack() time.Duration {
	return m.estimate.P50 - m.reach(m.far, half)
}

// workOn returns the work on leg i in watt seconds if the leg takes that many seconds, its share of the breaks
// included: walking while moving, standing for the rest.
func (m timing) workOn(i int, took float64) float64 {
	leg := m.legs[i]
	moving := took * m.estimate.MovingP50.Seconds() / m.estimate.P50.Seconds()
	if !(moving > 0) {
		return 0
	}
	speed := unit.Speed((leg.To - leg.From).Metres() / moving)
	walking := supply.Metabolic(m.moved, speed, leg.Slope, m.terrain)
	return float64(walking)*moving + float64(m.standing)*(took-moving)
}

// timeline is a walk at one quantile of its time: stations on the way, and the hours between them. To simulate a start
// is to move the timeline through the table.
type timeline struct {
	stations []station
	hours    []hour
}

// station is a place that the party reaches a number of seconds after its departure.
type station struct {
	after float64
	spot  spot
}

// hour is a part of the walk that takes one hour and ends at a station, with its work and the limits for that work. A
// walk of less than an hour counts as one hour of the same work. Our judgment: nobody knows what people do afterwards
// in the parking lot.
type hour struct {
	first, last int     // stations at the ends of its first and last piece
	cut         float64 // seconds of the first piece before the hour begins
	span        float64 // seconds
	power       unit.Power
	exposure    unit.Temperature // recommended exposure limit, for the acclimatized
	alert       unit.Temperature // recommended alert limit, for everybody else
}

const (
	hourSeconds = 3600.0
	// Our judgment: an hour ends every five minutes, and one at the very end.
	hourStep = 300.0
)

// newTimeline finds the stations of a walk in a table. Work and heat are averaged over the same hour, weighted by time
// and breaks included, as the limits are defined (NIOSH 2016-106, section 8.1).
func newTimeline(m timing, tb table, q unit.Fraction) timeline {
	p := timeline{stations: make([]station, len(m.legs))}
	worked := make([]float64, len(m.legs)+1) // watt seconds until the end of leg i-1
	total, before := m.estimate.Quantile(q).Seconds(), 0.0
	for i, leg := range m.legs {
		after := float64(m.estimate.Ends[i]) * total
		p.stations[i] = station{after, tb.spot(leg.Elevation)}
		worked[i+1] = worked[i] + m.workOn(i, after-before)
		before = after
	}
	p.hours = p.cutHours(worked)
	return p
}

func (p timeline) end() float64 { return p.stations[len(p.stations)-1].after }

// beginOf returns when the piece that ends at station i begins.
func (p timeline) beginOf(i int) float64 {
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
		due = s.after + hourStep
		for p.stations[first].after <= from {
			first++
		}
		cut := from - p.beginOf(first)
		piece := p.stations[first].after - p.beginOf(first)
		work := worked[i+1] - worked[first] - (worked[first+1]-worked[first])*cut/piece
		hours = append(hours, hourOf(first, i, cut, hourSeconds, work))
	}
	return hours
}

// hourOf makes an hour from its work in watt seconds.
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

// hourHeat is one hour of the walk with the mean heat met in it.
type hourHeat struct {
	hour
	from time.Time
	mean unit.Temperature
}

func (h hourHeat) to() time.Time { return h.from.Add(time.Duration(h.span * float64(time.Second))) }
