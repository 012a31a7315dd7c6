package heat_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

func TestWindAt2m(t *testing.T) {
	tests := []struct {
		name            string
		over            heat.Surroundings
		v10, solar      float64
		day             bool
		want, tolerance float64
	}{
		{"thermofeel, urban [F2]", heat.Urban, 3, 800, true, 2.356545, 5e-7},
		{"thermofeel, urban, nearly still [F2]", heat.Urban, 0.62, 800, true, 0.487019, 5e-7},
		{"thermofeel, urban, night [F2]", heat.Urban, 1, 0, false, 0.617034, 5e-7},
		{"thermofeel, urban, strong [F2]", heat.Urban, 7, 200, true, 4.681182, 5e-7},
		{"set B, rural [C]", heat.Rural, 3, 980, true, 2.680, 0.0005},
		{"set B, urban [C]", heat.Urban, 3, 980, true, 2.357, 0.0005},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := test.over.WindAt2m(unit.Speed(test.v10), unit.Irradiance(test.solar), test.day)
			within(t, "wind at 2 m", got.MetresPerSecond(), test.want, test.tolerance)
		})
	}
}

// The stability classes of US EPA 2000, table 6-7, read back through the rural exponents
// [F]. Classes 1 and 2 have the same one there and are not told apart.
func TestWindStabilityClasses(t *testing.T) {
	exponents := [7]float64{1: 0.07, 2: 0.07, 3: 0.10, 4: 0.15, 5: 0.35, 6: 0.55}
	winds := [5]float64{1.9, 2, 3, 5, 6} // each row from its lowest wind, but the first
	suns := [4]float64{925, 675, 175, 174}
	classes := [5][4]int{{1, 1, 2, 4}, {1, 2, 3, 4}, {2, 2, 3, 4}, {3, 3, 4, 4}, {3, 4, 4, 4}}
	for i, v := range winds {
		for j, s := range suns {
			got := heat.WindAt2m(unit.Speed(v), unit.Irradiance(s), true)
			want := v * math.Pow(0.2, exponents[classes[i][j]])
			within(t, fmt.Sprintf("%g m/s, %g W/m2", v, s), float64(got), want, 1e-12)
		}
	}
	for v, class := range map[float64]int{1: 6, 2: 6, 2.4: 6, 2.5: 4, 8: 4} {
		within(t, fmt.Sprintf("%g m/s at night", v), float64(heat.WindAt2m(unit.Speed(v), 0, false)),
			v*math.Pow(0.2, exponents[class]), 1e-12)
	}
}

// No air is quite still (Liljegren 2008: 0.13 m/s), and 2 m is never windier than 10 m.
func TestWindIsNeverStillNorStronger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(0, 40).Draw(t, "wind")
		s := rapid.Float64Range(0, 1400).Draw(t, "sun")
		got := float64(heat.WindAt2m(unit.Speed(v), unit.Irradiance(s), rapid.Bool().Draw(t, "day")))
		if got < 0.13 || got > max(0.13, v) {
			t.Fatalf("%g m/s at 10 m, %g at 2 m", v, got)
		}
	})
}

// Sunshine beyond the clearest sky's is cut to 85 % of 1367 W/m2 over the squared distance
// (Liljegren 2008). Distances from Meeus 1998: 0.98330 au on 2024-01-03, the nearest of the
// year, and 1.01673 on 2024-07-05, the farthest [M]. Tolerance 0.05 %.
func TestSunshineIsCut(t *testing.T) {
	tests := []struct {
		name     string
		when     time.Time
		distance float64
	}{
		{"nearest", time.Date(2024, 1, 3, 0, 0, 0, 0, time.UTC), 0.98330},
		{"farthest", time.Date(2024, 7, 5, 0, 0, 0, 0, time.UTC), 1.01673},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			zenith := unit.Angle(60) * unit.Degree
			got, direct := heat.Sunshine(1200, zenith, test.when)
			want := 0.85 * 1367 * 0.5 / (test.distance * test.distance)
			within(t, "cut", float64(got), want, want*0.0005)
			// exp(3 - 1.34*0.85 - 1.65/0.85) = 0.9229, over the cap of 0.9.
			within(t, "direct share", float64(direct), 0.9, 0)
		})
	}
}

func TestSunshineEdges(t *testing.T) {
	noon := time.Date(2024, 6, 21, 19, 0, 0, 0, time.UTC)
	tests := []struct {
		name                  string
		solar, zenith         float64
		wantSolar, wantDirect float64
	}{
		{"no sunshine", 0, 30, 0, 0},
		{"less than none counts as none", -5, 30, 0, 0},
		{"the Sun at the horizon: all diffuse, left as it is", 40, 89.6, 40, 0},
		{"the Sun down: all diffuse, left as it is", 5, 95, 5, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			solar, direct := heat.Sunshine(unit.Irradiance(test.solar), unit.Angle(test.zenith)*unit.Degree, noon)
			within(t, "sunshine", float64(solar), test.wantSolar, 0)
			within(t, "direct share", float64(direct), test.wantDirect, 0)
		})
	}
}

// More sunshine at the same height of the Sun is never less direct; the share stays in 0 to 0.9.
func TestDirectShareProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.Float64Range(0, 1500).Draw(t, "sun")
		more := rapid.Float64Range(s, 1500).Draw(t, "more sun")
		zenith := unit.Angle(rapid.Float64Range(0, 180).Draw(t, "zenith")) * unit.Degree
		when := time.Unix(rapid.Int64Range(0, 4102444800).Draw(t, "unix"), 0)
		_, low := heat.Sunshine(unit.Irradiance(s), zenith, when)
		_, high := heat.Sunshine(unit.Irradiance(more), zenith, when)
		if !(low >= 0 && low <= high && high <= 0.9) {
			t.Fatalf("%g W/m2: %g, %g W/m2: %g", s, low, more, high)
		}
	})
}
