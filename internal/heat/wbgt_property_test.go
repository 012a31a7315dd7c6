package heat_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// walkingAir draws weather that people could walk in, from frost to above all records.
var walkingAir = rapid.Custom(func(t *rapid.T) heat.Air {
	f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	return heat.Air{
		Temperature: unit.Celsius(f("air", -10, 58)),
		Humidity:    unit.Fraction(f("humidity", 0, 1)),
		Pressure:    unit.Pressure(f("pressure", 60000, 108000)),
		Wind:        unit.Speed(f("wind", 0, 25)),
		Solar:       unit.Irradiance(f("solar", 0, 1300)),
		Direct:      unit.Fraction(f("direct", 0, 1)),
		Zenith:      unit.Angle(f("zenith", 0, 180)) * unit.Degree,
	}
})

// rounding is a difference between two solutions that means nothing: ten times the accuracy of the solver.
const rounding = 1e-4

// Each of these changes to the weather must never move the WBGT the other way.
func TestWBGTIsMonotone(t *testing.T) {
	tests := []struct {
		name   string
		change func(t *rapid.T, a heat.Air) heat.Air
	}{
		{"sun never lowers it, shade never raises it", func(t *rapid.T, a heat.Air) heat.Air {
			a.Solar = unit.Irradiance(rapid.Float64Range(float64(a.Solar), 1500).Draw(t, "more sun"))
			return a
		}},
		{"hotter air never lowers it", func(t *rapid.T, a heat.Air) heat.Air {
			a.Temperature = unit.Celsius(rapid.Float64Range(float64(a.Temperature), 60).Draw(t, "hotter"))
			return a
		}},
		{"more humid air never lowers it", func(t *rapid.T, a heat.Air) heat.Air {
			a.Humidity = unit.Fraction(rapid.Float64Range(float64(a.Humidity), 1).Draw(t, "more humid"))
			return a
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				a := walkingAir.Draw(t, "air")
				before, err := heat.WBGT(a)
				if err != nil {
					t.Fatal(err)
				}
				changed := test.change(t, a)
				after, err := heat.WBGT(changed)
				if err != nil {
					t.Fatal(err)
				}
				if after.WBGT < before.WBGT-rounding {
					t.Fatalf("%+v: %.4f\n%+v: %.4f", a, before.WBGT, changed, after.WBGT)
				}
			})
		})
	}
}

// In any weather the results are finite, and in the order that physics requires.
func TestWBGTIsAlwaysANumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := walkingAir.Draw(t, "air")
		g, err := heat.WBGT(a)
		if err != nil {
			t.Fatal(err)
		}
		wet, err := heat.PsychrometricWetBulb(a)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []unit.Temperature{g.Globe, g.NaturalWetBulb, wet, g.WBGT} {
			if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) {
				t.Fatalf("%+v gives %+v", a, g)
			}
		}
		if wet > a.Temperature+rounding {
			t.Fatalf("%+v: the shielded wet bulb %g is above the air", a, wet)
		}
	})
}

// For inputs of any bits: either finite results or an error, and never a panic.
func TestWBGTTakesAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string) float64 { return rapid.Float64().Draw(t, name) }
		g, err := heat.WBGT(heat.Air{
			Temperature: unit.Temperature(f("air")), Humidity: unit.Fraction(f("humidity")),
			Pressure: unit.Pressure(f("pressure")), Wind: unit.Speed(f("wind")),
			Solar: unit.Irradiance(f("solar")), Direct: unit.Fraction(f("direct")), Zenith: unit.Angle(f("zenith")),
		})
		if err == nil && math.IsNaN(float64(g.WBGT)) || err != nil && g != (heat.Globe{}) {
			t.Fatalf("%+v, %v", g, err)
		}
	})
}

// The corners of the range, each input at either end: all 128 give a result.
func TestWBGTCorners(t *testing.T) {
	ends := [7][2]float64{{-40, 60}, {0, 1}, {50000, 110000}, {0, 60}, {0, 1500}, {0, 1}, {0, math.Pi / 2 * 0.999}}
	for corner := range 1 << 7 {
		v := [7]float64{}
		for i := range v {
			v[i] = ends[i][corner>>i&1]
		}
		g := wbgt(t, heat.Air{
			Temperature: unit.Temperature(v[0]), Humidity: unit.Fraction(v[1]), Pressure: unit.Pressure(v[2]),
			Wind: unit.Speed(v[3]), Solar: unit.Irradiance(v[4]), Direct: unit.Fraction(v[5]), Zenith: unit.Angle(v[6]),
		})
		// Impossible on Earth: below the balance with a cold sky, or above the boiling point.
		if !(g.WBGT > -90 && g.WBGT < 150) {
			t.Errorf("%v gives %+v", v, g)
		}
	}
}

// The sheet's two sensitivities from set B [C]: wind from 0.5 to 5 m/s lowers the WBGT by 5.2 C, the Sun at noon
// raises it by 4.9. Tolerance 0.05 and half the last digit.
func TestWBGTSensitivities(t *testing.T) {
	noon := func(wind, solar float64) float64 {
		a := air(42, 15, 970, wind, solar, 0, 0.9684)
		a.Solar, a.Direct = heat.Sunshine(a.Solar, a.Zenith, day(2024, 7, 15))
		return wbgt(t, a).WBGT.Celsius()
	}
	within(t, "wind 0.5 to 5 m/s", noon(5, 980)-noon(0.5, 980), -5.2, 0.1)
	within(t, "sun on at noon", noon(2, 980)-noon(2, 0), 4.9, 0.1)
}
