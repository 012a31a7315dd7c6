package storybook

import (
	"time"

	"saltbush/internal/caution"
	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	trailsview "saltbush/web/trails/view"
)

// yearSample is an invented year: warm months have early starts, and April is unknown.
func yearSample() trailsview.YearText {
	y := plan.YearPlan{Notes: []string{"Each month is told by its 15th: at either end of it sun and heat differ from " +
		"that.", "No normals for April: nothing is known of them."}, Cautions: caution.All()}
	for m := time.January; m <= time.December; m++ {
		mp := plan.MonthPlan{Month: m, Known: m != time.April}
		if mp.Known {
			fillSampleMonth(&mp)
		}
		y.Months = append(y.Months, mp)
	}
	t := trailsview.NewYearText(y, format.Metric)
	t.From = []format.Line{{Label: "Worked out for", Value: "12 walkers and 2 leaders, ordinary pace",
		Note: "Not known to be used to heat."}, {Label: "Normals from",
		Value: "Means of 1991 to 2020 at the reserve's weather station, 40 m below the trailhead."}}
	return t
}

func fillSampleMonth(m *plan.MonthPlan) {
	warm := max(0, 6-max(int(m.Month)-7, 7-int(m.Month))) // 6 in July, none in January
	at := func(hour int) plan.Instant {
		return plan.Instant{Time: time.Date(2027, m.Month, 15, hour, 0, 0, 0, sampleZone())}
	}
	high := unit.Celsius(17 + 4*float64(warm))
	m.Usual = &plan.YearDay{Forecast: plan.Forecast{Low: high - 15, High: high}, Earliest: at(6), Latest: at(13 - warm)}
	m.Hot = &plan.YearDay{Forecast: plan.Forecast{Low: high - 12, High: high + 3},
		Care: &plan.Care{Earliest: at(6), Latest: at(7)}}
	for hour := 3; hour <= 20; hour++ {
		s := plan.YearStart{At: at(hour), Answer: plan.MayBeLed}
		switch {
		case hour < 6:
			s.Answer, s.Limit = plan.WithCare, "first light"
		case hour > 14-warm && hour < 17 && warm > 0:
			s.Answer, s.Limit = plan.Not, "house ladder"
		case hour > 12-warm && hour < 17 && warm > 0:
			s.Answer, s.Limit = plan.WithCare, "work in heat"
		case hour > 14:
			s.Answer, s.Limit = plan.Not, "daylight"
		}
		m.Starts = append(m.Starts, s)
	}
}
