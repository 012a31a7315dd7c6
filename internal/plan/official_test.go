package plan_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

func level(l plan.HeatLevel) *plan.HeatLevel      { return &l }
func chance(c unit.Fraction) *unit.Fraction       { return &c }
func airIndex(a plan.AirQuality) *plan.AirQuality { return &a }

// An official heat level of 3 or more, or a warning in force, cancels or moves to the allowed window, whatever the
// forecast says.
func TestOfficialWordComesFirst(t *testing.T) {
	for _, c := range []struct {
		name     string
		official plan.Official
		hour     int
		want     plan.Decision
		text     string
	}{
		{"nothing looked up", plan.Official{}, 6, plan.Go, ""},
		{"level 1, no warning", plan.Official{HeatLevel: level(1), Warning: plan.NoWarning}, 6, plan.Go, ""},
		{"level 2 is spoken of", plan.Official{HeatLevel: level(2)}, 6, plan.Go,
			"2 (moderate): people who are sensitive"},
		{"level 3, a cool start", plan.Official{HeatLevel: level(3)}, 6, plan.Change,
			"3 (major). This start meets no heat limit"},
		{"level 3, a warm start", plan.Official{HeatLevel: level(3)}, 11, plan.Cancel,
			"3 (major): cancel, or move to the allowed window"},
		{"a warning, a cool start", plan.Official{Warning: plan.WarningInForce,
			WarningText: "extreme heat until 20:00"}, 6, plan.Change,
			"A warning is in force (extreme heat until 20:00)"},
		{"a warning, a warm start", plan.Official{Warning: plan.WarningInForce}, 11, plan.Cancel,
			"A warning is in force: cancel"},
		{"storms are spoken of", plan.Official{Storm: chance(0.2)}, 6, plan.Go,
			"storms or flash floods is 20 %: watch the sky"},
		{"storms below", plan.Official{Storm: chance(0.19)}, 6, plan.Go, ""},
		{"storms change", plan.Official{Storm: chance(0.5)}, 6, plan.Change, "off ridges and out of washes"},
		{"air 100", plan.Official{AirQuality: airIndex(100)}, 6, plan.Go, ""},
		{"air for the sensitive", plan.Official{AirQuality: airIndex(101)}, 6, plan.Go,
			"index is 101, unhealthy for sensitive"},
		{"air unhealthy", plan.Official{AirQuality: airIndex(151)}, 6, plan.Change, "unhealthy for everybody"},
		{"air very unhealthy", plan.Official{AirQuality: airIndex(201)}, 6, plan.Cancel, "nobody should work"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := ordinary(t)
			in.Acclimatized = true
			in.Profile = ramp(t, 2500, 0.04)
			in.Rules.ForecastError = 0
			in.Start = time.Date(2026, 4, 18, c.hour, 0, 0, 0, arizona)
			in.Forecast = plan.Forecast{Low: 15, High: 32, DewPoint: 0, Wind: 2, Official: c.official}
			p := compute(t, in)
			if p.Verdict.Decision != c.want {
				t.Fatalf("verdict %s %q, want %s", p.Verdict.Decision, p.Verdict.Reasons, c.want)
			}
			if c.text == "" {
				if c.hour == 6 && len(p.Verdict.Reasons) > 0 {
					t.Errorf("reasons %q, want none", p.Verdict.Reasons)
				}
				return
			}
			if len(p.Verdict.Reasons) == 0 || !strings.Contains(p.Verdict.Reasons[0], c.text) {
				t.Errorf("first reason of %q does not say %q", p.Verdict.Reasons, c.text)
			}
		})
	}
}

// Under a warning no start is a go, and the allowed window equals the start window of the same day without one.
func TestAllowedWindowUnderAWarning(t *testing.T) {
	in := ordinary(t)
	in.Profile = ramp(t, 2500, 0.04)
	in.Start = time.Date(2026, 4, 18, 11, 0, 0, 0, arizona)
	in.Forecast = plan.Forecast{Low: 15, High: 32, DewPoint: 0, Wind: 2}
	calm := compute(t, in)
	in.Forecast.Official.Warning = plan.WarningInForce
	p := compute(t, in)
	for _, s := range p.Window.Starts {
		if s.Decision == plan.Go {
			t.Errorf("a start at %s goes under a warning", s.At)
		}
	}
	care := p.Window.Care
	if care == nil || !p.Window.Earliest.IsZero() || !care.Earliest.Equal(calm.Window.Earliest.Time) ||
		!care.Latest.Equal(calm.Window.Latest.Time) {
		t.Fatalf("allowed window %+v, want %s to %s", care, calm.Window.Earliest, calm.Window.Latest)
	}
	if text := strings.Join(p.Verdict.Instead, " "); !strings.Contains(text,
		"The allowed window is "+care.Earliest.Format("15:04")) {
		t.Errorf("%q does not name the allowed window", text)
	}
}

func TestBadOfficialWordIsRefused(t *testing.T) {
	for _, c := range []struct {
		field    string
		official plan.Official
	}{
		{"heat_level", plan.Official{HeatLevel: level(5)}},
		{"heat_level", plan.Official{HeatLevel: level(-1)}},
		{"warning", plan.Official{Warning: "perhaps"}},
		{"warning", plan.Official{WarningText: "extreme heat"}},
		{"warning_text", plan.Official{Warning: plan.WarningInForce, WarningText: strings.Repeat("x", 500)}},
		{"storm", plan.Official{Storm: chance(1.2)}},
		{"air_quality", plan.Official{AirQuality: airIndex(501)}},
	} {
		in := ordinary(t)
		in.Forecast.Official = c.official
		_, err := plan.Compute(in)
		var bad *plan.InputError
		if !errors.As(err, &bad) || bad.Field != c.field {
			t.Errorf("%+v: %v, want a fault of %s", c.official, err, c.field)
		}
	}
}
