package track_test

import (
	"strings"
	"testing"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// R = sqrt(climb in feet x 2 x miles), classes as published; worked edge cases of the trade.
func TestRate(t *testing.T) {
	tests := []struct {
		name     string
		length   unit.Length
		ascent   unit.Length
		steepest unit.Slope
		number   int
		class    track.Class
		raised   string
	}{
		{"exactly 50 goes to the harder", 2.5 * unit.Mile, 500 * unit.Foot, 0, 50, track.Moderate, ""},
		{"just below 50", 2.5 * unit.Mile, 499.9 * unit.Foot, 0, 49, track.Easiest, ""},
		{"exactly 100 goes to the harder", 5 * unit.Mile, 1000 * unit.Foot, 0, 100, track.ModeratelyStrenuous, ""},
		{"exactly 150", 11.25 * unit.Mile, 1000 * unit.Foot, 0, 150, track.Strenuous, ""},
		{"exactly 200", 10 * unit.Mile, 2000 * unit.Foot, 0, 200, track.VeryStrenuous, ""},
		{"36.28", 1.4 * unit.Mile, 470 * unit.Foot, 0.1, 36, track.Easiest, ""},
		{"36.28 with 28 % up", 1.4 * unit.Mile, 470 * unit.Foot, 0.28, 36, track.Moderate, "28 %"},
		{"36.28 with 28 % down", 1.4 * unit.Mile, 470 * unit.Foot, -0.28, 36, track.Moderate, "28 %"},
		{"12 degrees are 21.3 %: below", 1.4 * unit.Mile, 470 * unit.Foot, 0.21, 36, track.Easiest, ""},
		{"12 degrees are 21.3 %: above", 1.4 * unit.Mile, 470 * unit.Foot, 0.22, 36, track.Moderate, "22 %"},
		{"steepness raises no other class", 3 * unit.Mile, 900 * unit.Foot, 0.4, 73, track.Moderate, ""},
		{"209.8", 10 * unit.Mile, 2200 * unit.Foot, 0, 209, track.VeryStrenuous, ""},
		{"level", 3 * unit.Mile, 0, 0, 0, track.Easiest, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := track.Rate(tt.length, tt.ascent, tt.steepest)
			if got.Number != tt.number || got.Class != tt.class {
				t.Errorf("Rate = %d %s, want %d %s", got.Number, got.Class, tt.number, tt.class)
			}
			if !strings.Contains(got.Raised, tt.raised) || (tt.raised == "") != (got.Raised == "") {
				t.Errorf("Raised = %q, want one with %q", got.Raised, tt.raised)
			}
		})
	}
}
