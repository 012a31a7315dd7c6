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

// Naismith's rule as a horizontal distance: a meter of climb is 8 1/3 m on the level [F2]; rounded to 8 it gives 5.6
// h for 20 km and 1000 m.
func TestNaismithAsLevelDistance(t *testing.T) {
	level := walk.Naismith(1000*(8+1.0/3), 0)
	near(t, "1000 m of climb as level ground, h", level.Hours(), walk.Naismith(0, 1000).Hours(), 1e-6)
	near(t, "the rounded form, h", walk.Naismith(20*unit.Kilometre+8*1000, 0).Hours(), 5.6, 1e-9)
}

func TestLangmuir(t *testing.T) {
	// Langmuir 1984 rules [F2], base 5 km/h; values in minutes [C], half the last digit.
	tests := []struct{ level, rise, want float64 }{
		{1000, 100, 22.00}, {1000, -50, 12.00}, {1000, -100, 8.67}, {1000, -200, 5.33},
		{1000, -250, 20.33}, // the rule itself jumps at 12 degrees
		{1000, -300, 22.00}, {2000, -300, 14.00},
	}
	for _, tt := range tests {
		got := walk.Langmuir(unit.Length(tt.level), unit.Length(tt.rise)).Minutes()
		near(t, fmt.Sprintf("min over %g m/%+g m [C]", tt.level, tt.rise), got, tt.want, 0.005)
	}
}

// rWalk is the time of one leg in the form of the GRASS module r.walk: 0.72 s/m along, 6.0 s/m up, less 1.9998 s/m of
// descent, or plus that where steeper than a slope of -0.2125 (GRASS r.walk manual [F2], after Aitken 1977 and
// Langmuir 1984). The rise is negative going down.
func rWalk(level, rise float64) float64 {
	switch drop := -rise; {
	case drop <= 0:
		return 0.72*level + 6.0*rise
	case drop > 0.2125*level:
		return 0.72*level + 1.9998*drop
	default:
		return 0.72*level - 1.9998*drop
	}
}

func TestLangmuirAgreesWithRWalk(t *testing.T) {
	// From 5 degrees down and on any climb the two rules are the same; 1.9998 instead of 2 changes the seconds by up
	// to 0.06.
	for _, tt := range []struct{ level, rise float64 }{
		{1000, 0}, {1000, 100}, {1000, 400}, {1000, -100}, {1000, -200}, {1000, -250}, {1000, -300}, {2000, -300},
	} {
		got := walk.Langmuir(unit.Length(tt.level), unit.Length(tt.rise)).Seconds()
		near(t, fmt.Sprintf("s over %g m/%+g m", tt.level, tt.rise), got, rWalk(tt.level, tt.rise), 0.1)
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
	// Reference sheet, trap 7 [C]: splitting 8 km with 600 m in two gives 3.5 h, not 3.
	level := walk.AlpineClub(4*unit.Kilometre, 0, 0)
	climb := walk.AlpineClub(4*unit.Kilometre, 600, 0)
	if got, want := level+climb, 3*time.Hour+30*time.Minute; got != want {
		t.Errorf("two legs take %s, want %s", got, want)
	}
}
