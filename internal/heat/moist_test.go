package heat_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// Magnus, WMO constants: saturation pressure in hPa from the formula [C], tolerance half the
// last digit.
func TestSaturationPressure(t *testing.T) {
	for c, want := range map[float64]float64{
		0: 6.112, 10: 12.260, 20: 23.326, 25: 31.601, 30: 42.337, 35: 56.128, 40: 73.675, 45: 95.797,
	} {
		within(t, fmt.Sprintf("%g C", c), heat.SaturationPressure(unit.Celsius(c)).Hectopascals(), want, 0.0005)
	}
}

func TestDewPoint(t *testing.T) {
	tests := []struct {
		name                     string
		air, rh, want, tolerance float64
	}{
		{"library [F2]", 31.6, 59.6, 22.778, 0.1},
		{"library [F2]", 29.3, 75.4, 24.497, 0.1},
		{"library [F2]", 27.1, 66.4, 20.302, 0.1},
		{"library [F2]", 25, 50, 13.8, 0.1},
		{"library [F2]", 10, 50, 0.064, 0.1},
		{"library [F2]", 40, 50, 27.587, 0.1},
		{"formula [C]", 35, 20, 8.69, 0.005},
		{"formula [C]", 40, 10, 2.61, 0.005},
		{"formula [C]", 40, 15, 8.46, 0.005},
		{"formula [C]", 45, 8, 3.16, 0.005},
		{"formula [C]", 30, 30, 10.53, 0.005},
		{"formula [C]", 20, 60, 12.00, 0.005},
	}
	for _, test := range tests {
		t.Run(fmt.Sprintf("%s %g C %g %%", test.name, test.air, test.rh), func(t *testing.T) {
			got := heat.DewPoint(unit.Celsius(test.air), unit.Percent(test.rh).Fraction())
			within(t, "dew point", got.Celsius(), test.want, test.tolerance)
		})
	}
}

// Humidity inverts DewPoint, from the driest air that it accepts to fog.
func TestHumidityUndoesDewPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		air := unit.Celsius(rapid.Float64Range(-20, 55).Draw(t, "air"))
		want := rapid.Float64Range(0.001, 1).Draw(t, "humidity")
		got := heat.Humidity(air, heat.DewPoint(air, unit.Fraction(want)))
		if math.Abs(float64(got)-want) > 1e-9 {
			t.Fatalf("humidity %g came back as %g at %g C", want, got, air)
		}
	})
}

func TestHumidityEdges(t *testing.T) {
	within(t, "dew point above the air counts as fog", float64(heat.Humidity(20, 22)), 1, 0)
	within(t, "bone-dry air counts as 0.1 %", float64(heat.DewPoint(40, 0)-heat.DewPoint(40, 0.001)), 0, 0)
	within(t, "more than all counts as all", float64(heat.DewPoint(40, 1.2)), 40, 1e-9)
}
