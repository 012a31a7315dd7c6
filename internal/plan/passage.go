package plan

import (
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// passage is a march at one quantile of its time, as it is carried through the table for
// every start that is asked for: stations on the way, and the hours between them.
type passage struct {
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
func newPassage(m march, tb table, q unit.Fraction) passage {
	p := passage{stations: make([]station, len(m.legs))}
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

func (p passage) end() float64 { return p.stations[len(p.stations)-1].after }

// began is when the piece that ends at station i began.
func (p passage) began(i int) float64 {
	if i == 0 {
		return 0
	}
	return p.stations[i-1].after
}

func (p passage) cutHours(worked []float64) []hour {
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
func (p passage) hardest() unit.Power {
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
