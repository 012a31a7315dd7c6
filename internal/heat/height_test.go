package heat_test

import (
	"fmt"
	"testing"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// ICAO standard atmosphere, tolerance 1 Pa. The first four are from the pvlib library [F2], the others from the
// formula, in hPa to the second place [C].
func TestPressureAt(t *testing.T) {
	tests := []struct {
		name         string
		metres, want float64
	}{
		{"pvlib [F2]", -100, 102532.073},
		{"pvlib [F2]", 0, 101324.999},
		{"pvlib [F2]", 1000, 89874.750},
		{"pvlib [F2]", 8000, 35600.496},
		{"formula [C]", 500, 95461},
		{"formula [C]", 1500, 84556},
		{"formula [C]", 2000, 79495},
		{"formula [C]", 2500, 74683},
		{"formula [C]", 3000, 70109},
	}
	for _, test := range tests {
		t.Run(fmt.Sprintf("%s %g m", test.name, test.metres), func(t *testing.T) {
			got := heat.PressureAt(unit.Length(test.metres))
			within(t, "pressure", float64(got), test.want, 1)
		})
	}
}

// ICAO: 6.5 K/km [F2]. Downward the dry adiabatic 9.8 K/km [M], the hotter side.
func TestLapse(t *testing.T) {
	tests := []struct {
		name           string
		from, to, want float64
	}{
		{"up cools by the standard lapse", 1000, 2000, 33.5},
		{"down warms by the dry adiabatic", 2000, 1000, 49.8},
		{"level", 1500, 1500, 40},
		{"below the sea", 0, -86, 40.8428},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := heat.Lapse(40, unit.Length(test.from), unit.Length(test.to))
			within(t, "air", got.Celsius(), test.want, 1e-9)
		})
	}
}
