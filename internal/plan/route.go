package plan

import (
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// route is a walk on its day, ready to be asked about any start.
type route struct {
	in             Input
	day            day
	table          table
	march          timing
	passages       [2]timeline // at the median, and at nine in ten
	lowest         unit.Length
	power          unit.Power       // mean of the hardest hour at the median pace
	limit, alert   unit.Temperature // for that hour: of the acclimatised, of everybody else
	hot            []stretch
	sums           []float64     // room that meet uses again
	toFar, fromFar time.Duration // expected, to the far point and from it to the end
}

// newRoute lays the whole walk into its day. The table covers the light of the day and
// the planned walk.
func newRoute(in Input) (*route, error) {
	d, err := newDay(in)
	if err != nil {
		return nil, err
	}
	m, err := newMarch(in, in.Profile.Legs(), in.Profile.Far())
	if err != nil {
		return nil, err
	}
	lowest, highest := heights(in.Profile, m.legs)
	from := earlier(in.Start, d.first)
	to := later(in.Start.Add(m.estimate.P90), d.last.Add(time.Hour))
	tb, err := newTable(d, from, to, lowest, highest)
	if err != nil {
		return nil, err
	}
	return routeIn(in, d, tb, m), nil
}

// routeIn lays a march into a day that is tabled already.
func routeIn(in Input, d day, tb table, m timing) *route {
	r := &route{in: in, day: d, table: tb, march: m}
	for i, q := range []unit.Fraction{half, nineInTen} {
		r.passages[i] = newPassage(m, tb, q)
	}
	r.power = r.passages[0].hardest()
	r.limit, r.alert = heat.ExposureLimit(r.power), heat.AlertLimit(r.power)
	r.lowest, _ = heights(track.Profile{Lowest: m.legs[0].Elevation, Highest: m.legs[0].Elevation}, m.legs)
	r.hot = hotStretches(tb, r.lowest, r.limit, in.Rules.Ladder)
	r.sums = make([]float64, len(m.legs)+1)
	r.toFar, r.fromFar = m.reach(m.far, half), m.wayBack()
	return r
}

// heights are the lowest and the highest that the walk comes to.
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
