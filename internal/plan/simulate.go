package plan

import (
	"math"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

// outcome is what a party that leaves at a time meets on its way. It is taken at the
// median and at the nine-in-ten pace, the worst of both: in the morning the slow party is
// the hotter one, in the evening the fast one.
type outcome struct {
	start, back    time.Time // back is the nine-in-ten return
	wbgt, felt     unit.Temperature
	wbgtAt, feltAt float64 // seconds of the table
	// exposure and alert are the hours nearest to or farthest above their limits.
	exposure, alert hourMet
	offBy           time.Time // zero where the open trail passes no limit after the start
	drink           unit.Flow
	found           exceeded
}

// simulate carries the party through the day from a start.
func (r *route) simulate(start time.Time) outcome {
	from := r.table.seconds(start)
	m := outcome{start: start, back: start.Add(r.march.estimate.P90),
		wbgt: unit.Temperature(math.Inf(-1)), felt: unit.Temperature(math.Inf(-1))}
	for _, p := range r.passages {
		m.walk(&r.table, p, from, r.sums)
	}
	m.offBy = r.offBy(from)
	m.drink = supply.Drink(m.wbgt, r.power, r.sunny(m))
	m.found = r.exceededLimits(m)
	return m
}

// walk keeps the worst of one passage. The sums are room for the heat added up along it.
func (m *outcome) walk(tb *table, p timeline, from float64, sums []float64) {
	sum, before := 0.0, 0.0
	for i, s := range p.stations {
		met := tb.at(from+s.after, s.spot)
		if met.wbgt > m.wbgt {
			m.wbgt, m.wbgtAt = met.wbgt, from+s.after
		}
		if met.felt > m.felt {
			m.felt, m.feltAt = met.felt, from+s.after
		}
		sum += float64(met.wbgt) * (s.after - before)
		sums[i+1], before = sum, s.after
	}
	for _, h := range p.hours {
		m.rest(tb, p, h, from, sums)
	}
}

// rest compares one hour with its limits.
func (m *outcome) rest(tb *table, p timeline, h hour, from float64, sums []float64) {
	sum := sums[h.last+1] - sums[h.first]
	if h.cut > 0 {
		sum -= (sums[h.first+1] - sums[h.first]) * h.cut / (p.stations[h.first].after - p.began(h.first))
	}
	mean := unit.Temperature(sum / h.span)
	if h.span <= 0 {
		mean = m.wbgt
	}
	began := p.stations[h.last].after - h.span
	if m.exposure.from.IsZero() || mean-h.exposure > m.exposure.mean-m.exposure.exposure {
		m.exposure = hourMet{h, tb.moment(from + began), mean}
	}
	if m.alert.from.IsZero() || mean-h.alert > m.alert.mean-m.alert.alert {
		m.alert = hourMet{h, tb.moment(from + began), mean}
	}
}

// House judgement: below half cover the sun is on the walker most of the time.
const sunnyBelow = 0.5

// sunny looks at the sky of the hottest moment.
func (r *route) sunny(m outcome) bool {
	return r.day.weather(r.table.moment(m.wbgtAt)).Cloud < sunnyBelow
}

// stretch is a time of the day, in seconds of the table.
type stretch struct{ from, to float64 }

// hotStretches returns when the open trail at its lowest, and so hottest, height passes
// the limit for the acclimatised at the walk's hardest work, or reaches the ladder's last
// rung.
func hotStretches(tb table, lowest unit.Length, limit unit.Temperature, ladder heat.Ladder) []stretch {
	var all []stretch
	s := tb.spot(lowest)
	over := func(n node) float64 {
		return float64(max(n.wbgt-limit, n.felt+slack-ladder.CancelFrom))
	}
	before := 0.0
	for row := range tb.rows {
		at := float64(row) * rowSeconds
		now := over(tb.at(at, s))
		switch {
		case now >= 0 && (row == 0 || before < 0):
			all = append(all, stretch{at - crossed(before, now), at})
		case now >= 0:
			all[len(all)-1].to = at
		case row > 0 && before >= 0:
			all[len(all)-1].to = at - crossed(before, now)
		}
		before = now
	}
	return all
}

// crossed is how many seconds before the end of a row's step the line from before to now
// went through zero.
func crossed(before, now float64) float64 {
	if before*now >= 0 {
		return 0
	}
	return rowSeconds * now / (now - before)
}

// offBy returns the first moment from seconds of the table on at which the open trail is
// too hot. It depends on the day and the route, never on when the party leaves.
func (r *route) offBy(from float64) time.Time {
	for _, h := range r.hot {
		if h.to > from {
			return r.table.moment(max(from, h.from))
		}
	}
	return time.Time{}
}
