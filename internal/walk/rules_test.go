package walk_test

import (
	"fmt"
	"testing"
	"time"

	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

func TestNaismith(t *testing.T) {
	tests := []struct {
		name      string // source and mark
		km, climb float64
		want      float64
		tolerance float64
	}{
		// The source's rounded 8 to 1 form gives 5.6; the rule itself gives 5 2/3.
		{"worked example [F2]/[C]", 20, 1000, 5.667, 0.0005},
		{"[C]", 10, 600, 3.000, 1e-9},
		{"[C]", 8, 450, 2.350, 1e-9},
		{"[C]", 12, 900, 3.900, 1e-9},
	}
	for _, tt := range tests {
		got := walk.Naismith(unit.Length(tt.km)*unit.Kilometre, unit.Length(tt.climb)).Hours()
		near(t, fmt.Sprintf("%s %g km %g m", tt.name, tt.km, tt.climb), got, tt.want, tt.tolerance)
	}
}

// Naismith's rule read as a horizontal distance: a metre of climb is 8 1/3 m on the level
// [F2]; rounded to 8 it gives 5.6 h for 20 km and 1000 m.
func TestNaismithAsLevelDistance(t *testing.T) {
	level := walk.Naismith(1000*(8+1.0/3), 0)
	near(t, "1000 m of climb as level ground, h", level.Hours(), walk.Naismith(0, 1000).Hours(), 1e-6)
	near(t, "the rounded form, h", walk.Naismith(20*unit.Kilometre+8*1000, 0).Hours(), 5.6, 1e-9)
}

func TestLangmuir(t *testing.T) {
	// Langmuir 1984 rules [F2], base 5 km/h; values in minutes [C], half the last digit.
	tests := []struct{ level, rise, want float64 }{
		{1000, 100, 22.00}, {1000, -50, 12.00}, {1000, -100, 8.67}, {1000, -200, 5.33},
		{1000, -250, 20.33}, // the jump across 12 degrees is the rule's own
		{1000, -300, 22.00}, {2000, -300, 14.00},
	}
	for _, tt := range tests {
		got := walk.Langmuir(unit.Length(tt.level), unit.Length(tt.rise)).Minutes()
		near(t, fmt.Sprintf("min over %g m/%+g m [C]", tt.level, tt.rise), got, tt.want, 0.005)
	}
}

func TestRWalk(t *testing.T) {
	// GRASS r.walk manual's coefficients [F2]; values in seconds [C]. The values are rounded
	// to whole seconds: 1.9998 in place of 2 moves them by up to 0.05 s.
	tests := []struct{ level, rise, want float64 }{
		{1000, 100, 1320}, {1000, -100, 520}, {1000, -200, 320}, {1000, -250, 1220},
	}
	for _, tt := range tests {
		got := walk.RWalk(unit.Length(tt.level), unit.Length(tt.rise)).Seconds()
		near(t, fmt.Sprintf("s over %g m/%+g m [C]", tt.level, tt.rise), got, tt.want, 0.5)
	}
}

func TestAlpineClub(t *testing.T) {
	tests := []struct {
		name         string // mark
		km, up, down float64
		want         float64
	}{
		{"the handbook's worked example [F2]", 8, 900, 0, 4.000},
		{"[C]", 12, 600, 600, 4.700},
		{"[C]", 10, 300, 300, 3.300},
		{"[C]", 16, 900, 900, 6.800},
		{"[C]", 20, 400, 400, 6.067},
		{"[C]", 4, 1200, 0, 4.500},
		{"[C]", 5, 0, 0, 1.250},
		{"one leg [C]", 8, 600, 0, 3.000},
	}
	for _, tt := range tests {
		got := walk.AlpineClub(unit.Length(tt.km)*unit.Kilometre, unit.Length(tt.up), unit.Length(tt.down)).Hours()
		near(t, fmt.Sprintf("%s %g km +%g -%g", tt.name, tt.km, tt.up, tt.down), got, tt.want, 0.0005)
	}
}

func TestAlpineClubDoesNotAddUp(t *testing.T) {
	// Reference sheet, trap 7 [C]: cutting 8 km with 600 m in two gives 3.5 h, not 3.
	level := walk.AlpineClub(4*unit.Kilometre, 0, 0)
	climb := walk.AlpineClub(4*unit.Kilometre, 600, 0)
	if got, want := level+climb, 3*time.Hour+30*time.Minute; got != want {
		t.Errorf("two legs take %s, want %s", got, want)
	}
}

func TestSwissSign(t *testing.T) {
	// Coefficients [F2]; values [C], min/km within 0.001 and km/h to the last digit. Only the
	// level, 14.271 min/km or 4.2 km/h, is a printed figure.
	tests := []struct{ percent, pace, speed float64 }{
		{-40, 36.537, 1.64}, {-30, 27.521, 2.18}, {-25, 23.568, 2.55}, {-20, 19.835, 3.02},
		{-15, 16.664, 3.60}, {-10, 14.208, 4.22}, {-5, 13.244, 4.53}, {0, 14.271, 4.20},
		{5, 16.631, 3.61}, {10, 19.999, 3.00}, {15, 25.197, 2.38}, {20, 32.326, 1.86},
		{25, 40.237, 1.49}, {30, 48.794, 1.23}, {40, 66.945, 0.90},
	}
	for _, tt := range tests {
		got := walk.SwissSign(unit.Kilometre, percent(tt.percent)).Minutes()
		near(t, fmt.Sprintf("min/km at %g %% [C]", tt.percent), got, tt.pace, 0.001)
		near(t, fmt.Sprintf("km/h at %g %% [C]", tt.percent), 60/got, tt.speed, 0.005)
	}
	if got, want := walk.SwissSign(unit.Kilometre, 0.7), walk.SwissSign(unit.Kilometre, 0.4); got != want {
		t.Errorf("at 70 %% = %s, want %s as at 40 %%", got, want)
	}
}
