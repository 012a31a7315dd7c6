package plan

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/heat"
	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// anyDay draws a place, a date and weather that is planned for.
func anyDay(t *rapid.T) day {
	zone := time.FixedZone("local", -7*3600)
	low := rapid.Float64Range(-5, 32).Draw(t, "low")
	high := low + rapid.Float64Range(2, 22).Draw(t, "swing")
	in := Input{
		Start: time.Date(2026, 1, 1, 6, 0, 0, 0, zone).AddDate(0, 0, rapid.IntRange(0, 364).Draw(t, "date")),
		Profile: track.Profile{Samples: []track.Sample{{
			At:        unit.At(rapid.Float64Range(20, 48).Draw(t, "latitude"), -112),
			Elevation: unit.Length(rapid.Float64Range(0, 2500).Draw(t, "trailhead")),
		}}},
		Forecast: Forecast{
			Low: unit.Celsius(low), High: unit.Celsius(high),
			DewPoint: unit.Celsius(rapid.Float64Range(-15, 20).Draw(t, "dew point")),
			Wind:     unit.Speed(rapid.Float64Range(0, 12).Draw(t, "wind")),
			Cloud:    unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "cloud")),
		},
	}
	in.Forecast.DewPoint = min(in.Forecast.DewPoint, in.Forecast.High)
	d, err := newDay(in)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The table's error bound, against the balance solved afresh at the moment and height.
func TestTableIsNearTheBalance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := anyDay(rt)
		lowest := max(-400, d.trailhead-unit.Length(rapid.Float64Range(0, 1500).Draw(rt, "down")))
		highest := d.trailhead + unit.Length(rapid.Float64Range(0, 1500).Draw(rt, "up"))
		tb, err := newTable(d, d.first, d.last, lowest, highest)
		if err != nil {
			rt.Fatal(err)
		}
		for range 40 {
			share := rapid.Float64Range(0, 1).Draw(rt, "time")
			at := d.first.Add(time.Duration(share * float64(d.last.Sub(d.first))))
			height := lowest + (highest-lowest)*unit.Length(rapid.Float64Range(0, 1).Draw(rt, "height"))
			coolest, hottest := around(rt, d, tb, at, height)
			got := tb.at(tb.seconds(at), tb.spot(height)).wbgt
			bound := unit.Temperature(0.5)
			if hottest >= 20 && d.forecast.DewPoint <= d.forecast.Low-5 {
				bound = 0.3
			}
			if got < coolest-bound || got > hottest+bound {
				rt.Fatalf("at %s, %.0f m: table %.3f C, balance %.3f to %.3f C",
					clock(at), height.Metres(), got, coolest, hottest)
			}
		}
	})
}

// around solves the balance at a moment and height with each stability class that the
// wind has at the knots around it, and returns the coolest and the hottest.
func around(t *rapid.T, d day, tb table, at time.Time, height unit.Length) (coolest, hottest unit.Temperature) {
	row := int(tb.seconds(at) / rowSeconds)
	s := tb.spot(height)
	air := d.air(at, height)
	coolest, hottest = 100, -100
	for _, r := range []int{row, row + 1} {
		for _, l := range []int{s.level, min(s.level+1, len(tb.levels)-1)} {
			air.Wind = max(0.13, d.air(tb.time(r), tb.levels[l]).Wind)
			globe, err := heat.WBGT(air)
			if err != nil {
				t.Fatal(err)
			}
			coolest, hottest = min(coolest, globe.WBGT), max(hottest, globe.WBGT)
		}
	}
	return coolest, hottest
}
