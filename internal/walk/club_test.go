package walk_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

func TestMunter(t *testing.T) {
	// Munter [M]: (km + climb/100 m)/4 h up or level, /6 h down. By hand.
	tests := []struct{ km, rise, want float64 }{{4, 0, 1}, {6, 1000, 4}, {6, -600, 2}}
	for _, tt := range tests {
		got := walk.Munter(unit.Length(tt.km)*unit.Kilometre, unit.Length(tt.rise)).Hours()
		near(t, fmt.Sprintf("h over %g km %+g m [M]", tt.km, tt.rise), got, tt.want, 1e-9)
	}
}

func TestCanyonReturn(t *testing.T) {
	// NPS [F]: a third of the time down, two thirds up. Our curve has the climb of a steep
	// canyon trail, 1400 m in 15 km, at only 1.06 times the descent: the rule is for heat
	// and tired legs, and stands beside the estimate.
	down := 2 * time.Hour
	near(t, "share of the way down", down.Hours()/(down+walk.CanyonReturn(down)).Hours(), 1.0/3, 1e-9)
	slope := unit.Slope(1400.0 / 15000)
	ratio := float64(walk.Rate(-slope) / walk.Rate(slope))
	t.Logf("climb over descent by the curve: %.2f", ratio)
	if ratio < 1.05 || ratio > 1.5 {
		t.Errorf("climb over descent by the curve %.2f, want 1.05 to 1.5", ratio)
	}
}

func TestTranterEveryCell(t *testing.T) {
	// Tranter's corrections [M]: from memory of the usual table, not found in text. Hours by
	// fitness in minutes and Naismith's hours; zero is beyond that party.
	columns := []float64{2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14}
	tests := []struct {
		fitness int
		want    []float64
	}{
		{15, []float64{1, 1.5, 2, 2.75, 3.5, 4.5, 5.5, 6.75, 7.75, 10, 12.5}},
		{20, []float64{1.25, 2.25, 3.25, 4.5, 5.5, 6.5, 7.75, 8.75, 10, 12.5, 15}},
		{25, []float64{1.5, 3, 4.25, 5.5, 7, 8.5, 10, 11.5, 13.25, 15, 17.5}},
		{30, []float64{2, 3.5, 5, 6.75, 8.5, 10.5, 12.5, 14.5, 0, 0, 0}},
		{40, []float64{2.75, 4.25, 5.75, 7.5, 9.5, 11.5, 0, 0, 0, 0, 0}},
		{50, []float64{3.25, 4.75, 6.5, 8.5, 0, 0, 0, 0, 0, 0, 0}},
	}
	for row, tt := range tests {
		fitness := time.Duration(tt.fitness) * time.Minute
		for i, want := range tt.want {
			what := fmt.Sprintf("fitness %d, Naismith %g h [M]", tt.fitness, columns[i])
			got, err := walk.Tranter(h(columns[i]), fitness, false)
			if want == 0 {
				if err == nil || !strings.Contains(err.Error(), "beyond") {
					t.Errorf("%s: %s, %v, want it refused as beyond that party", what, got, err)
				}
				continue
			}
			if err != nil {
				t.Fatalf("%s: %v", what, err)
			}
			near(t, what, got.Hours(), want, 1e-9)
			if row > 0 { // a heavy pack drops one row
				loaded, err := walk.Tranter(h(columns[i]), time.Duration(tests[row-1].fitness)*time.Minute, true)
				if err != nil {
					t.Fatalf("%s, heavy: %v", what, err)
				}
				near(t, what+", from the row above with a heavy pack", loaded.Hours(), want, 1e-9)
			}
		}
	}
}

func TestTranterBetweenCells(t *testing.T) {
	got, err := walk.Tranter(h(4.5), 17*time.Minute, false)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "h, half way from 4 to 5 in the slower row", got.Hours(), (3.25+4.5)/2, 1e-9)
}

func TestTranterRefusesByName(t *testing.T) {
	tests := []struct {
		name     string
		naismith float64
		fitness  time.Duration
		heavy    bool
		want     string
	}{
		{"no fitness", 4, 0, false, "fitness"},
		{"slower than the table", 4, time.Hour, false, "fitness"},
		{"heavy pack in the last row", 4, 50 * time.Minute, true, "fitness"},
		{"short", 1, 20 * time.Minute, false, "by Naismith"},
		{"long", 15, 20 * time.Minute, false, "by Naismith"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := walk.Tranter(h(tt.naismith), tt.fitness, tt.heavy); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error %v, want it to name %q", err, tt.want)
			}
		})
	}
}
