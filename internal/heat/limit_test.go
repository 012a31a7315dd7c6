package heat_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"saltbush/internal/heat"
	"saltbush/internal/rules"
	"saltbush/internal/unit"
)

// NIOSH 2016-106, section 8.1, from its formulas [C on F2], tolerance half the last digit.
func TestLimits(t *testing.T) {
	tests := []struct{ watts, alert, exposure float64 }{
		{117, 30.74, 32.92}, {180, 28.10, 30.76}, {230, 26.60, 29.54}, {300, 24.97, 28.21}, {350, 24.03, 27.44},
		{415, 22.99, 26.59}, {450, 22.49, 26.19}, {520, 21.60, 25.47}, {600, 20.73, 24.75},
	}
	for _, test := range tests {
		t.Run(fmt.Sprintf("%g W", test.watts), func(t *testing.T) {
			m := unit.Power(test.watts)
			within(t, "alert limit", heat.AlertLimit(m).Celsius(), test.alert, 0.005)
			within(t, "exposure limit", heat.ExposureLimit(m).Celsius(), test.exposure, 0.005)
		})
	}
}

func TestLimitsEdges(t *testing.T) {
	tests := []struct {
		name    string
		m, same unit.Power
	}{
		{"lighter than standing counts as 100 W", 0, 100},
		{"less than nothing counts as 100 W", -50, 100},
		{"not a number gets the strictest", unit.Power(math.NaN()), 1500},
		{"no end of work gets the strictest", unit.Power(math.Inf(1)), 1500},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			within(t, "alert limit", float64(heat.AlertLimit(test.m)), float64(heat.AlertLimit(test.same)), 0)
			within(t, "exposure limit", float64(heat.ExposureLimit(test.m)), float64(heat.ExposureLimit(test.same)), 0)
		})
	}
}

// Harder work never allows more heat, and acclimatized people are never allowed less.
func TestLimitsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := unit.Power(rapid.Float64Range(0, 2000).Draw(t, "watts"))
		harder := m + unit.Power(rapid.Float64Range(0, 500).Draw(t, "more"))
		if heat.AlertLimit(harder) > heat.AlertLimit(m) || heat.ExposureLimit(harder) > heat.ExposureLimit(m) {
			t.Fatalf("%g W is allowed more heat than %g W", harder, m)
		}
		if heat.AlertLimit(m) > heat.ExposureLimit(m) {
			t.Fatalf("%g W: alert limit %g above exposure limit %g", m, heat.AlertLimit(m), heat.ExposureLimit(m))
		}
	})
}

// The default ladder: 85, 95 and 100 F. An edge belongs to the hotter rung.
func TestDefaultLadder(t *testing.T) {
	tests := []struct {
		name  string
		feltF float64
		want  heat.Rung
	}{
		{"cool", 60, heat.Normal},
		{"just under 85", 84.99, heat.Normal},
		{"85", 85, heat.ShorterOrEarlier},
		{"94", 94, heat.ShorterOrEarlier},
		{"just under 95", 94.99, heat.ShorterOrEarlier},
		{"95", 95, heat.ShortOnly},
		{"just under 100", 99.99, heat.ShortOnly},
		{"100", 100, heat.Cancel},
		{"hotter", 118, heat.Cancel},
		{"not a number is not cool", math.NaN(), heat.Cancel},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := rules.DefaultRules().Ladder.Rung(unit.Fahrenheit(test.feltF)); got != test.want {
				t.Errorf("%g F is %q, want %q", test.feltF, got, test.want)
			}
		})
	}
}

// Whole degrees F that are summed in degrees C keep their rung: 93 and 7 F give slightly less than 100.
func TestLadderEdgesSurviveUnits(t *testing.T) {
	slipped := false
	for _, part := range []float64{2, 3, 7, 31} {
		felt := unit.Fahrenheit(100-part) + (unit.Fahrenheit(part) - unit.Fahrenheit(0))
		slipped = slipped || felt < unit.Fahrenheit(100)
		if got := rules.DefaultRules().Ladder.Rung(felt); got != heat.Cancel {
			t.Errorf("100 F put together from %g F is %q, want cancel", part, got)
		}
	}
	if !slipped {
		t.Error("no sum came out under 100 F, so the test shows nothing")
	}
}

// ISO 7243 reference values, degrees C, for acclimatized people and others: 2017 from memory [M], at its class's
// watts; 1989 second-hand [F2], in moving air, at the middle of its class in W/m2 on 1.8 m2. They are steps, and
// licensed, so we use the curves of NIOSH. These rows show that the curves are near them: the exposure limit within 1
// K of the 2017 cells for the acclimatized and the alert limit within 2 K of the others.
func TestLimitsAreNearISO7243(t *testing.T) {
	tests := []struct {
		name                    string
		watts                   float64
		acclimatised, unused    float64
		ofAcclimatised, ofOther float64
	}{
		{"2017 class 0 [M]", 115, 33, 32, 1, 2},
		{"2017 class 1 [M]", 180, 30, 29, 1, 2},
		{"2017 class 2 [M]", 300, 28, 26, 1, 2},
		{"2017 class 3 [M]", 415, 26, 23, 1, 2},
		{"2017 class 4 [M]", 520, 25, 20, 1, 2},
		{"1989 class 1 [F2]", 97.5 * 1.8, 30, 29, 1, 2},
		{"1989 class 2 [F2]", 165 * 1.8, 28, 26, 1, 2},
		{"1989 class 3 [F2]", 230 * 1.8, 26, 23, 1, 2},
		{"1989 class 4 [F2]", 290 * 1.8, 25, 20, 1, 2},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m := unit.Power(test.watts)
			within(t, "exposure limit", heat.ExposureLimit(m).Celsius(), test.acclimatised, test.ofAcclimatised)
			within(t, "alert limit", heat.AlertLimit(m).Celsius(), test.unused, test.ofOther)
		})
	}
}

// ACGIH screening cells [M], degrees C: limit and action limit by the share of each hour at work. Compared with
// NIOSH's curves at the hour's mean: the middle of the share at the class's watts and the rest at 115 W. Both are
// licensed steps of the same curves: within 1.5 K of the limit and 2 K of the action limit.
func TestLimitsAreNearACGIH(t *testing.T) {
	classes := map[string]float64{"light": 180, "moderate": 300, "heavy": 415, "very heavy": 520}
	tests := []struct {
		share         float64
		class         string
		limit, action float64
	}{
		{0.875, "light", 31.0, 28.0}, {0.875, "moderate", 28.0, 25.0},
		{0.625, "light", 31.0, 28.5}, {0.625, "moderate", 29.0, 26.0}, {0.625, "heavy", 27.5, 24.0},
		{0.375, "light", 32.0, 29.5}, {0.375, "moderate", 30.0, 27.0}, {0.375, "heavy", 29.0, 25.5},
		{0.375, "very heavy", 28.0, 24.5},
		{0.125, "light", 32.5, 30.0}, {0.125, "moderate", 31.5, 29.0}, {0.125, "heavy", 30.5, 28.0},
		{0.125, "very heavy", 30.0, 27.0},
	}
	for _, test := range tests {
		t.Run(fmt.Sprintf("%s, %g %% [M]", test.class, 100*test.share), func(t *testing.T) {
			m := unit.Power(test.share*classes[test.class] + (1-test.share)*115)
			within(t, "exposure limit", heat.ExposureLimit(m).Celsius(), test.limit, 1.5)
			within(t, "alert limit", heat.AlertLimit(m).Celsius(), test.action, 2)
		})
	}
}
