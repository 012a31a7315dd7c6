package plan

import (
	"math"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

// outcome is what a party that starts at a given time meets on its way. It is taken at the median and at the
// nine-in-ten pace, the worst of both: in the morning the slow party is the hotter one, in the evening the fast one.
type outcome struct {
	start, back    time.Time // back is the nine-in-ten return
	wbgt, felt     unit.Temperature
	wbgtAt, feltAt float64 // seconds of the table
	// exposure and alert are the hours nearest to or farthest above their limits.
	exposure, alert hourHeat
	offBy           time.Time // zero where the open trail passes no limit after the start
	drink           unit.Flow
	exceeded        exceeded
}

// simulate takes the party through the day from a start.
func (r *route) simulate(start time.Time) outcome {
	from := r.table.seconds(start)
	m := outcome{start: start, back: start.Add(r.timing.estimate.P90),
		wbgt: unit.Temperature(math.Inf(-1)), felt: unit.Temperature(math.Inf(-1))}
	for _, p := range r.timelines {
		m.walk(&r.table, p, from, r.sums)
	}
	m.offBy = r.offBy(from)
	m.drink = supply.Drink(m.wbgt, r.power, r.sunny(m))
	m.exceeded = r.exceededLimits(m)
	return m
}

// walk keeps the worst of one timeline. It adds the heat up along the way in sums.
func (m *outcome) walk(tb *table, p timeline, from float64, sums []float64) {
	sum, before := 0.0, 0.0
	for i, s := range p.stations {
		here := tb.at(from+s.after, s.spot)
		if here.wbgt > m.wbgt {
			m.wbgt, m.wbgtAt = here.wbgt, from+s.after
		}
		if here.felt > m.felt {
			m.felt, m.feltAt = here.felt, from+s.after
		}
		sum += float64(here.wbgt) * (s.after - before)
		sums[i+1], before = sum, s.after
	}
	for _, h := range p.hours {
		m.compare(tb, p, h, from, sums)
	}
}

// compare holds one hour against its limits.
func (m *outcome) compare(tb *table, p timeline, h hour, from float64, sums []float64) {
	sum := sums[h.last+1] - sums[h.first]
	if h.cut > 0 {
		sum -= (sums[h.first+1] - sums[h.first]) * h.cut / (p.stations[h.first].after - p.beginOf(h.first))
	}
	mean := unit.Temperature(sum / h.span)
	if h.span <= 0 {
		mean = m.wbgt
	}
	began := p.stations[h.last].after - h.span
	if m.exposure.from.IsZero() || mean-h.exposure > m.exposure.mean-m.exposure.exposure {
		m.exposure = hourHeat{h, tb.moment(from + began), mean}
	}
	if m.alert.from.IsZero() || mean-h.alert > m.alert.mean-m.alert.alert {
		m.alert = hourHeat{h, tb.moment(from + began), mean}
	}
}

// Our judgment: below half cover the sun is on the walker most of the time.
const sunnyBelow = 0.5

// sunny reports on the sky at the hottest moment.
func (r *route) sunny(m outcome) bool {
	return r.day.weather(r.table.moment(m.wbgtAt)).Cloud < sunnyBelow
}

// stretch is a time of the day, in seconds of the table.
type stretch struct{ from, to float64 }

// hotStretches returns when the open trail at its lowest, and so hottest, height passes the limit for acclimatized
// people at the walk's hardest work, or feels like the last step of the ladder.
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

// crossed returns how many seconds before the end of a row's step the line from before to now passed zero.
func crossed(before, now float64) float64 {
	if before*now >= 0 {
		return 0
	}
	return rowSeconds * now / (now - before)
}

// offBy returns the first moment, from a number of seconds of the table on, at which the open trail is too hot. It
// depends on the day and the route, never on the start.
func (r *route) offBy(from float64) time.Time {
	for _, h := range r.hot {
		if h.to > from {
			return r.table.moment(max(from, h.from))
		}
	}
	return time.Time{}
}

func (e results) heat() Heat {
	r, m := e.route, e.outcome
	limit := r.alert
	if r.in.Acclimatized {
		limit = r.limit
	}
	return Heat{PeakWBGT: tenth(m.wbgt), PeakAir: tenth(e.air), PeakAt: instant(r.table.moment(m.wbgtAt)),
		Limit: tenth(limit), AlertLimit: tenth(r.alert), ExposureLimit: tenth(r.limit), OffBy: instant(m.offBy),
		WorstHour: e.worstHour(), Hours: r.day.hours(r.table)}
}

// worstHour is judged by the limit that applies to these people.
func (e results) worstHour() WorstHour {
	h, limit := e.outcome.alert, e.outcome.alert.alert
	if e.route.in.Acclimatized {
		h, limit = e.outcome.exposure, e.outcome.exposure.exposure
	}
	return WorstHour{From: instant(h.from), To: instant(h.to()), WBGT: tenth(h.mean), Work: whole(h.power),
		Limit: tenth(limit)}
}

// hottestAir returns the highest air temperature that the party meets at either pace.
func (r *route) hottestAir() unit.Temperature {
	hottest := coldestAir
	for _, p := range r.timelines {
		for i, s := range p.stations {
			after := time.Duration(s.after * float64(time.Second))
			air, _ := r.day.shade(r.day.weather(r.in.Start.Add(after)), r.timing.legs[i].Elevation)
			hottest = max(hottest, air)
		}
	}
	return hottest
}

func heatFigures() []figure {
	const inWeather = "{weather}; {start}"
	return append([]figure{
		{"peak_wbgt_c", "highest WBGT met at the end of any leg, at P50 and at P90 pace", inWeather, tableSource},
		{"peak_air_c", "highest air temperature met, at P50 and at P90 pace", inWeather, heat.CurveSource},
		{"peak_at", "when the highest WBGT is met", inWeather, tableSource},
		{"limit_wbgt_c", "limit for the hardest hour of the walk", "{used}; {body}", heat.LimitSource},
		{"alert_limit_wbgt_c", "RAL for the hardest hour of the walk: people not used to heat", "{body}; {way}",
			heat.LimitSource},
		{"exposure_limit_wbgt_c",
			"REL for the hardest hour of the walk: people used to heat; the off-by time is taken " +
				"from it", "{body}; {way}", heat.LimitSource},
		{"off_by",
			"first moment from the start at which the open trail at its lowest height passes the exposure limit " +
				"of the hardest hour, or feels like the ladder's last step", "{weather}; {ladder}", heat.LimitSource},
		{"worst_hour.from", "hour of the walk with the least room under its limit", "{used}", heat.LimitSource},
		{"worst_hour.to", "an hour later, or the end of a shorter walk", "{used}", heat.LimitSource},
		{"worst_hour.mean_wbgt_c", "time-weighted mean of WBGT over the hour", "{weather}", tableSource},
		{"worst_hour.work_w", "time-weighted mean of power over the hour, rests counted as standing", "{body}; {way}",
			supply.WorkSource},
		{"worst_hour.limit_wbgt_c", "limit for the work of that hour", "{work}; {used}", heat.LimitSource},
	}, under("hours[]", hourFigures())...)
}
