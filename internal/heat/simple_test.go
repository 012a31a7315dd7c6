package heat_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// The Australian bureau's simple WBGT from its formula [C], tolerance half the last digit.
// A library with another vapour formula prints 34.245 for the first row [F2].
func TestSimpleWBGT(t *testing.T) {
	for _, test := range []struct{ air, rh, want float64 }{
		{30, 80, 34.25}, {40, 10, 29.51}, {35, 20, 28.19}, {25, 50, 24.32}, {42, 15, 32.57},
	} {
		t.Run(fmt.Sprintf("%g C %g %%", test.air, test.rh), func(t *testing.T) {
			got := heat.SimpleWBGT(unit.Celsius(test.air), unit.Percent(test.rh).Fraction())
			within(t, "simple WBGT", got.Celsius(), test.want, 0.005)
		})
	}
}

func TestStullWetBulb(t *testing.T) {
	tests := []struct {
		name                     string
		air, rh, want, tolerance float64
	}{
		{"thermofeel 286.84934 K [F2]", 20, 50, 286.84934 - 273.15, 0.0005},
		{"Stull 2011 prints 13.7 [M]", 20, 50, 13.7, 0.05},
		{"pythermalcomfort [F2]", 25, 50, 18.0, 0.05},
		{"pythermalcomfort [F2]", 27.1, 66.4, 22.4, 0.05},
		{"formula [C]", 30, 50, 22.297, 0.0005},
		{"formula [C]", 35, 20, 19.302, 0.0005},
		{"formula [C]", 40, 10, 18.507, 0.0005},
		{"formula [C]", 40, 15, 20.769, 0.0005},
		{"formula [C]", 45, 10, 21.392, 0.0005},
		{"formula [C]", 38, 40, 26.953, 0.0005},
		{"formula [C]", 30, 10, 12.736, 0.0005},
	}
	for _, test := range tests {
		t.Run(fmt.Sprintf("%s %g C %g %%", test.name, test.air, test.rh), func(t *testing.T) {
			got, err := heat.StullWetBulb(unit.Celsius(test.air), unit.Percent(test.rh).Fraction())
			if err != nil {
				t.Fatal(err)
			}
			within(t, "wet bulb", got.Celsius(), test.want, test.tolerance)
		})
	}
}

func TestStullWetBulbRefusesByName(t *testing.T) {
	for _, test := range []struct {
		name     string
		air, rh  float64
		quantity string
	}{
		{"too dry", 40, 4, "humidity"},
		{"too wet", 40, 99.5, "humidity"},
		{"too hot", 51, 30, "air temperature"},
		{"not a number", math.NaN(), 30, "air temperature"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := heat.StullWetBulb(unit.Celsius(test.air), unit.Percent(test.rh).Fraction())
			var out *heat.RangeError
			if !errors.As(err, &out) || out.Quantity != test.quantity {
				t.Errorf("error %v, want one that names the %s", err, test.quantity)
			}
		})
	}
}

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

// Humidity undoes DewPoint, from the driest air that it tells apart to fog.
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
