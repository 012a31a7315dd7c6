package storybook_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/web/chart"
)

var drawnZone = time.FixedZone("UTC-7", -7*3600)

func dayAt(h, m int) plan.Instant {
	return plan.Instant{Time: time.Date(2026, 5, 10, h, m, 0, 0, drawnZone)}
}

// hotMay is a day whose WBGT rises from 20 to 30 and falls to 20 degrees from 05:00 to 20:00, with
// a limit of 26. The heat index of 77 must not be shown.
func hotMay() plan.Plan {
	p := plan.Plan{
		Time: plan.Time{P50: 225*60 - 20, P90: 291*60 - 50},
		Sun: plan.Sun{CivilDawn: dayAt(5, 15), Sunrise: dayAt(5, 45), Sunset: dayAt(19, 15),
			CivilDusk: dayAt(19, 42)},
		Heat: plan.Heat{Limit: 26},
	}
	for h := 5; h <= 20; h++ {
		wbgt := 30 - math.Abs(float64(h)-12.5)*10/7.5
		p.Heat.Hours = append(p.Heat.Hours,
			plan.Hour{At: dayAt(h, 0), Air: unit.Celsius(wbgt + 6), WBGT: unit.Celsius(wbgt), HeatIndex: 77})
	}
	return p
}

func mayClocks() party.Clocks {
	at := func(h, m int) time.Time { return dayAt(h, m).Time }
	return party.Clocks{
		Start: at(6, 30), Expected: at(10, 15), Latest: at(11, 21), Watch: at(11, 21), Call: at(12, 21),
		Turn: at(8, 50), TurnBecause: "heat",
	}
}

func TestDayDrawsHeatWalkAndLight(t *testing.T) {
	doc := draw(t, chart.DrawnDay(chart.NewDayDrawing(hotMay(), mayClocks(), drawnZone, format.Metric)))
	for selector, want := range map[string]int{
		"polyline.DayDrawing-wbgt": 1, "polyline.DayDrawing-air": 1, "polygon.DayDrawing-over": 1,
		"circle.DayDrawing-dot[cx]": 16, ".Drawn-over .DayDrawing-box": 16, "line.DayDrawing-limit": 1,
		"rect.DayDrawing-night": 4, "rect.DayDrawing-likely": 1, "rect.DayDrawing-late": 1, "line.DayDrawing-call": 1,
		".Drawn-row .Drawn-number": 5,
	} {
		wantCount(t, doc, selector, want)
	}
	wantText(t, doc, ".DayDrawing-limit-text", "limit 26 \u00b0C")
	wantText(t, doc, ".Drawn-across text", "08:0012:0016:0020:00")
	words := text(doc, ".DayDrawing")
	for _, want := range []string{"start 06:30", "turn round by 08:50", "expected back 10:15", "watch from 11:21",
		"call for help 12:21", "WBGT", "above the limit"} {
		if !strings.Contains(words, want) {
			t.Errorf("the words lack %q: %s", want, words)
		}
	}
	if strings.Contains(words, "77") || strings.Contains(strings.ToLower(words), "heat index") {
		t.Errorf("the heat index is drawn: %s", words)
	}
}

// The scale runs from 05:00 to 20:00, so that an hour is a fifteenth of the width.
func TestDayPlaces(t *testing.T) {
	d := chart.NewDayDrawing(hotMay(), mayClocks(), drawnZone, format.Metric)
	for _, tt := range []struct {
		name, got string
		hours     float64
	}{
		{"start", d.Walk.From, 1.5}, {"likely return", d.Walk.Likely, 5.25}, {"late return", d.Walk.Late, 6 + 21.0/60},
		{"call", d.Walk.Call, 7 + 21.0/60},
		{"time to the likely return", d.Walk.LikelyWide, 3.75}, {"time from likely to late",
			d.Walk.LateWide, 1.1}, {"sixth reading", d.Dots[5].X, 5},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := parsed(t, tt.got) / 100 * 15; math.Abs(got-tt.hours) > 0.002 {
				t.Errorf("at %.3f h, want %.3f", got, tt.hours)
			}
		})
	}
	over := drawnLines(t, draw(t, chart.DrawnDay(d)), "polygon.DayDrawing-over")[0]
	// 26 degrees are 4 below the peak, 3 h from 12:30 at 10 degrees in 7.5 h.
	if from, to := over[0][0]/1000*15,
		over[len(over)-1][0]/1000*15; math.Abs(from-4.5) > 0.01 || math.Abs(to-10.5) > 0.01 {
		t.Errorf("above the limit from %.2f to %.2f h, want 4.5 to 10.5", from, to)
	}
}

func TestDayWithMissingData(t *testing.T) {
	unknown := hotMay()
	unknown.Heat.Hours[7].WBGT = unit.Temperature(math.NaN())
	polar := hotMay()
	polar.Sun = plan.Sun{}
	twoLimits := hotMay()
	twoLimits.Heat.AlertLimit, twoLimits.Heat.ExposureLimit = 23, 27
	noLimit := hotMay()
	noLimit.Heat.Limit = unit.Temperature(math.NaN())
	tests := []struct {
		name     string
		p        plan.Plan
		clocks   party.Clocks
		zone     *time.Location
		selector string
		want     int
	}{
		{"an hour not known breaks the line", unknown, mayClocks(), drawnZone, "polyline.DayDrawing-wbgt", 2},
		{"no night where the sun stays up", polar, mayClocks(), drawnZone, "rect.DayDrawing-night", 0},
		{"two limits", twoLimits, mayClocks(), drawnZone, "line.DayDrawing-limit", 2},
		{"no limit", noLimit, mayClocks(), drawnZone, ".DayDrawing-limit", 0},
		{"no zone is words", hotMay(), mayClocks(), nil, "svg", 0},
		{"no hours are words", plan.Plan{}, party.Clocks{}, drawnZone, "svg", 0},
		{"no times of return, no walk", plan.Plan{Heat: hotMay().Heat}, party.Clocks{}, drawnZone,
			".DayDrawing-likely", 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := chart.DrawnDay(chart.NewDayDrawing(tt.p, tt.clocks, tt.zone, format.US))
			wantNumbers(t, c)
			doc := draw(t, c)
			wantCount(t, doc, tt.selector, tt.want)
			if text(doc, "body") == "" {
				t.Errorf("nothing is said")
			}
		})
	}
}

func TestDayInFahrenheit(t *testing.T) {
	d := chart.NewDayDrawing(hotMay(), mayClocks(), drawnZone, format.US)
	if d.UnitY != "\u00b0F" || d.Limit.Text != "limit 79 \u00b0F" {
		t.Errorf("scale in %s, %s", d.UnitY, d.Limit.Text)
	}
	if diff := parsed(t, d.Dots[7].Y) - parsed(t,
		chart.NewDayDrawing(hotMay(), mayClocks(), drawnZone, format.Metric).Dots[7].Y); math.Abs(diff) > 1.5 {
		t.Errorf("drawn %.2f %% of the height elsewhere than in Celsius", diff)
	}
}
