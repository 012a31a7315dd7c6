package plan_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// hourly gives the ordinary day hour by hour, from 4:00 to 21:00, with one temperature.
func hourly(t *testing.T, air unit.Temperature) plan.Input {
	in := ordinary(t)
	for hour := 4; hour <= 21; hour++ {
		at := time.Date(2026, 4, 18, hour, 0, 0, 0, arizona)
		in.Forecast.Hourly = append(in.Forecast.Hourly,
			plan.HourlyAir{At: at, Air: air, DewPoint: 0, Wind: 2, Cloud: 0.1})
	}
	return in
}

func TestHourlyLinesReplaceTheCourse(t *testing.T) {
	in := hourly(t, 20)
	in.Forecast.Hourly[4].Air = 24 // 8:00
	for _, h := range compute(t, in).Heat.Hours {
		want := unit.Celsius(20)
		if h.At.Hour() == 8 {
			want = 24
		}
		if h.At.Hour() >= 4 && math.Abs(float64(h.Air-want)) > 0.05 {
			t.Errorf("air at %s is %.1f C, want the line's %.1f", h.At.Format("15:04"), h.Air, want)
		}
	}
}

func TestHourlyCloudDecidesOnTheSun(t *testing.T) {
	bright, covered := hourly(t, 26), hourly(t, 26)
	for i := range covered.Forecast.Hourly {
		covered.Forecast.Hourly[i].Cloud = 1
	}
	a, b := compute(t, bright), compute(t, covered)
	if a.Water.Drink <= b.Water.Drink || a.Heat.PeakWBGT <= b.Heat.PeakWBGT {
		t.Errorf("under a full cover %v L/h at %v C, under the sun %v L/h at %v C",
			b.Water.Drink, b.Heat.PeakWBGT, a.Water.Drink, a.Heat.PeakWBGT)
	}
}

func TestHourlyFaultsAreNamed(t *testing.T) {
	for _, c := range []struct {
		name          string
		spoil         func([]plan.HourlyAir) []plan.HourlyAir
		field, reason string
	}{
		{"gap", func(h []plan.HourlyAir) []plan.HourlyAir { return append(h[:5], h[6:]...) }, "hourly",
			"09:00 is missing"},
		{"twice", func(h []plan.HourlyAir) []plan.HourlyAir {
			h[3].At = h[2].At
			return h
		}, "hourly 06:00", "does not come after"},
		{"one line", func(h []plan.HourlyAir) []plan.HourlyAir { return h[:1] }, "hourly", "one line"},
		{"Fahrenheit typed as Celsius", func(h []plan.HourlyAir) []plan.HourlyAir {
			h[8].Air = 95
			return h
		}, "hourly 12:00 air", "95 C"},
		{"NaN wind", func(h []plan.HourlyAir) []plan.HourlyAir {
			h[8].Wind = unit.Speed(math.NaN())
			return h
		}, "hourly 12:00 wind", "NaN"},
		{"too wet", func(h []plan.HourlyAir) []plan.HourlyAir {
			h[8].DewPoint = 25
			return h
		}, "hourly 12:00 dew point", "above the air"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := hourly(t, 20)
			in.Forecast.Hourly = c.spoil(in.Forecast.Hourly)
			_, err := plan.Compute(in)
			var fault *plan.InputError
			if !errors.As(err, &fault) || fault.Field != c.field || !strings.Contains(fault.Reason, c.reason) {
				t.Errorf("got %v, want %s: ...%s...", err, c.field, c.reason)
			}
		})
	}
}

func TestPointsOffTheTrailAreRefused(t *testing.T) {
	in := ordinary(t)
	in.Points = []plan.Point{{Name: "Nowhere", Along: in.Profile.Length + 1}}
	_, err := plan.Compute(in)
	var fault *plan.InputError
	if !errors.As(err, &fault) || fault.Field != "points" || !strings.Contains(fault.Reason, "Nowhere") {
		t.Errorf("got %v, want a fault of points that names Nowhere", err)
	}
}
