package format_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/format"
	"saltbush/internal/unit"
)

func TestFigures(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct{ name, got, want string }{
		{"length metric", format.Length(7.7*unit.Kilometre, format.Metric), "7.7 km"},
		{"length US", format.Length(7.7*unit.Kilometre, format.US), "4.8 mi"},
		{"length zero", format.Length(0, format.Metric), "0.0 km"},
		{"length minus nothing is zero", format.Length(-0.001, format.Metric), "0.0 km"},
		{"length not a number", format.Length(unit.Length(nan), format.US), "not known"},
		{"infinite length", format.Length(unit.Length(inf), format.Metric), "not known"},
		{"both", format.Both(format.Length, 7.7*unit.Kilometre), "7.7 km (4.8 mi)"},
		{"short length metric", format.ShortLength(341.4, format.Metric), "341 m"},
		{"short length US", format.ShortLength(100*unit.Foot, format.US), "100 ft"},
		{"height metric", format.Height(240.4, format.Metric), "240 m"},
		{"height US to ten feet", format.Height(240, format.US), "790 ft"},
		{"height US below a hundred", format.Height(66*unit.Foot, format.US), "66 ft"},
		{"height of a fall US", format.Height(-240, format.US), "-790 ft"},
		{"temperature metric", format.Temperature(33, format.Metric), "33 \u00b0C"},
		{"temperature US", format.Temperature(33, format.US), "91 \u00b0F"},
		{"temperature just below zero", format.Temperature(-0.3, format.Metric), "0 \u00b0C"},
		{"volume metric", format.Volume(4.5, format.Metric), "4.5 L"},
		{"volume US", format.Volume(4.5, format.US), "4.8 qt"},
		{"volume not a number", format.Volume(unit.Volume(nan), format.Metric), "not known"},
		{"flow metric", format.Flow(0.95, format.Metric), "0.95 L/h"},
		{"flow US", format.Flow(0.95, format.US), "1.00 qt/h"},
		{"speed metric", format.Speed(3.2*unit.KilometrePerHour, format.Metric), "3.2 km/h"},
		{"speed US", format.Speed(2*unit.MilePerHour, format.US), "2.0 mph"},
		{"mass metric", format.Mass(6.2, format.Metric), "6.2 kg"},
		{"mass US", format.Mass(6.2, format.US), "13.7 lb"},
		{"energy to ten", format.Energy(604), "600 kcal"},
		{"energy not a number", format.Energy(unit.Energy(nan)), "not known"},
		{"percent", format.Percent(40), "40 %"},
		{"slope", format.Slope(0.28), "28 %"},
		{"position", format.Position(unit.At(33.4512, -112.074)), "33.45120, -112.07400"},
		{"position off the globe", format.Position(unit.At(91, 0)), "not known"},
		{"count of one", format.Count(1, "place", "places"), "1 place"},
		{"count of zero", format.Count(0, "place", "places"), "0 places"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if tt.got != tt.want {
				t.Errorf("got %q, want %q", tt.got, tt.want)
			}
		})
	}
}

func TestDuration(t *testing.T) {
	tests := []struct {
		name string
		d    time.Duration
		want string
	}{
		{"hours and minutes", 3*time.Hour + 45*time.Minute, "3 h 45"},
		{"minutes below ten keep two digits", 4*time.Hour + 5*time.Minute, "4 h 05"},
		{"full hours", 4 * time.Hour, "4 h"},
		{"below an hour", 45 * time.Minute, "45 min"},
		{"nothing", 0, "0 min"},
		{"seconds round up to the hour", 59*time.Minute + 40*time.Second, "1 h"},
		{"more than a day", 26*time.Hour + 5*time.Minute, "26 h 05"},
		{"before", -20 * time.Minute, "minus 20 min"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := format.Duration(tt.d); got != tt.want {
				t.Errorf("Duration(%v) = %q, want %q", tt.d, got, tt.want)
			}
		})
	}
}

func TestDurationRange(t *testing.T) {
	if got, want := format.DurationRange(225*time.Minute, 291*time.Minute), "3 h 45 to 4 h 51"; got != want {
		t.Errorf("DurationRange = %q, want %q", got, want)
	}
	if got, want := format.DurationRange(time.Hour, time.Hour+10*time.Second), "1 h"; got != want {
		t.Errorf("DurationRange of equals = %q, want %q", got, want)
	}
}

func TestWallClock(t *testing.T) {
	phoenix := time.FixedZone("UTC-7", -7*3600)
	at := time.Date(2026, 5, 11, 2, 30, 0, 0, time.UTC) // at the trailhead the evening before
	tests := []struct{ name, got, want string }{
		{"clock", format.Clock(at, phoenix), "19:30"},
		{"day is the trailhead's day", format.Day(at, phoenix), "Sunday 10 May 2026"},
		{"short day", format.ShortDay(at, phoenix), "Sun 10 May"},
		{"date", format.Date(at, phoenix), "10 May 2026"},
		{"moment", format.Moment(at, phoenix), "Sun 10 May, 19:30"},
		{"clock to the second", format.ClockSeconds(at.Add(5*time.Second), phoenix), "19:30:05"},
		{"month", format.Month(at, phoenix), "May 2026"},
		{"weekday is the trailhead's", format.Weekday(at, phoenix), "Sun"},
		{"range", format.ClockRange(at, at.Add(66*time.Minute), phoenix), "19:30 to 20:36"},
		{"range of one", format.ClockRange(at, at, phoenix), "19:30"},
		{"no time", format.Clock(time.Time{}, phoenix), "not known"},
		{"no zone", format.Clock(at, nil), "not known"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if tt.got != tt.want {
				t.Errorf("got %q, want %q", tt.got, tt.want)
			}
		})
	}
}

func TestFiguresNeverShowNaNOrInf(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64().Draw(t, "v")
		sys := rapid.SampledFrom([]format.System{format.Metric, format.US}).Draw(t, "sys")
		for _, text := range []string{
			format.Length(unit.Length(v), sys),
			format.Height(unit.Length(v), sys),
			format.Volume(unit.Volume(v), sys),
			format.Temperature(unit.Temperature(v), sys),
			format.Speed(unit.Speed(v), sys),
			format.Flow(unit.Flow(v), sys),
			format.Mass(unit.Mass(v), sys),
			format.Energy(unit.Energy(v)),
			format.Slope(unit.Slope(v)),
			format.Position(unit.At(v, v)),
		} {
			if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Fatalf("%v is written %q", v, text)
			}
		}
	})
}

func TestClockNamesTheZoneInARepeatedHour(t *testing.T) {
	denver, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	back := time.Date(2026, 11, 1, 8, 0, 0, 0, time.UTC) // 02:00 MDT becomes 01:00 MST
	forward := time.Date(2026, 3, 8, 9, 0, 0, 0, time.UTC)
	tests := []struct {
		name string
		at   time.Time
		want string
	}{
		{"before it", back.Add(-61 * time.Minute), "00:59"},
		{"first of the two", back.Add(-time.Hour), "01:00 MDT"},
		{"first, at its end", back.Add(-time.Minute), "01:59 MDT"},
		{"second of the two", back, "01:00 MST"},
		{"second, at its end", back.Add(59 * time.Minute), "01:59 MST"},
		{"after it", back.Add(time.Hour), "02:00"},
		{"put forward, before", forward.Add(-time.Minute), "01:59"},
		{"put forward, after", forward, "03:00"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := format.Clock(tt.at, denver); got != tt.want {
				t.Errorf("clock %q, want %q", got, tt.want)
			}
		})
	}
	if got := format.Clock(back, time.FixedZone("", -7*3600)); got != "01:00" {
		t.Errorf("a zone without changes writes %q", got)
	}
}

func TestClockAfterAddsAnotherDay(t *testing.T) {
	zone := time.FixedZone("", -7*3600)
	start := time.Date(2026, 6, 20, 21, 30, 0, 0, zone)
	if got := format.ClockAfter(start.Add(time.Hour), start, zone); got != "22:30" {
		t.Errorf("the same evening: %q", got)
	}
	if got := format.ClockAfter(start.Add(4*time.Hour), start, zone); got != "Sun 21 Jun, 01:30" {
		t.Errorf("past midnight: %q", got)
	}
}

func TestDegreesMinutes(t *testing.T) {
	for _, tt := range []struct {
		lat, lon float64
		want     string
	}{
		{33.4512, -112.074, "N 33\u00b0 27.072' W 112\u00b0 04.440'"},
		{-33.4512, 7.5, "S 33\u00b0 27.072' E 007\u00b0 30.000'"},
		{33.9999999, -0.0000001, "N 34\u00b0 00.000' W 000\u00b0 00.000'"}, // sixty minutes are a degree
		{91, 0, format.Unknown},
	} {
		if got := format.DegreesMinutes(unit.At(tt.lat, tt.lon)); got != tt.want {
			t.Errorf("DegreesMinutes(%v, %v) = %q, want %q", tt.lat, tt.lon, got, tt.want)
		}
	}
}
