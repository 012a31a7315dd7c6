package sun_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/sun"
	"saltbush/internal/unit"
)

// Ineichen and Perez 2002 as the pvlib library prints it [F2]; half the last printed digit.
func TestIneichen(t *testing.T) {
	sky := clear(t, 10*unit.Degree, 1, 3, 0)
	within(t, "global at a zenith of 10 degrees [F2]", float64(sky.Global), 1038.159, 0.0005)
	within(t, "beam at a zenith of 10 degrees [F2]", float64(sky.Beam), 942.208, 0.0005)
	within(t, "diffuse at a zenith of 10 degrees [F2]", float64(sky.Diffuse), 110.265, 0.0005)
	// Phoenix, 2014-06-24: zenith and air mass are printed to two and three places, which
	// moves the last digits by up to 0.4 W/m2.
	for _, test := range []struct{ zenith, mass, want float64 }{
		{46.05, 1.324, 704.70}, {10.56, 0.935, 1044.12}, {34.86, 1.120, 853.02}, {72.42, 3.016, 251.99},
	} {
		got := clear(t, unit.Angle(test.zenith)*unit.Degree, sun.AirMass(test.mass), 3, 0)
		within(t, fmt.Sprintf("Phoenix at %g degrees [F2]", test.zenith), float64(got.Global), test.want, 0.4)
	}
}

func clear(t interface{ Fatal(...any) }, zenith unit.Angle, mass sun.AirMass, turbidity sun.Turbidity, height unit.Length) sun.Sky {
	sky, err := sun.Ineichen(zenith, mass, turbidity, height)
	if err != nil {
		t.Fatal(err)
	}
	return sky
}

func TestIneichenRefusesByName(t *testing.T) {
	nan := math.NaN()
	for _, test := range []struct {
		want                             string
		zenith, mass, turbidity, heights float64
	}{
		{"zenith angle", nan, 1, 3, 0}, {"zenith angle", 4, 1, 3, 0}, {"air mass", 0, 0, 3, 0}, {"air mass", 0, nan, 3, 0},
		{"turbidity", 0, 1, 0.5, 0}, {"turbidity", 0, 1, nan, 0}, {"height", 0, 1, 3, 9000}, {"height", 0, 1, 3, nan},
	} {
		_, err := sun.Ineichen(unit.Angle(test.zenith), sun.AirMass(test.mass), sun.Turbidity(test.turbidity), unit.Length(test.heights))
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%+v: error %v, want it to name the %s", test, err, test.want)
		}
	}
}

// The parts make the whole; nothing is below zero or above what arrives above the air.
func TestIneichenAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		zenith := unit.Angle(rapid.Float64Range(0, 180).Draw(t, "zenith")) * unit.Degree
		mass := sun.AirMass(rapid.Float64Range(0.5, 38).Draw(t, "mass"))
		turbidity := sun.Turbidity(rapid.Float64Range(1, 8).Draw(t, "turbidity"))
		height := unit.Length(rapid.Float64Range(-400, 4000).Draw(t, "height"))
		sky := clear(t, zenith, mass, turbidity, height)
		cosine := max(0, math.Cos(float64(zenith)))
		if !(sky.Global >= 0 && sky.Beam >= 0 && sky.Diffuse >= -1e-9 && sky.Beam <= 1364) {
			t.Fatalf("%+v", sky)
		}
		if sum := float64(sky.Beam)*cosine + float64(sky.Diffuse); math.Abs(sum-float64(sky.Global)) > 1e-9 {
			t.Fatalf("beam and diffuse make %g of %g", sum, sky.Global)
		}
		if hazier := clear(t, zenith, mass, turbidity+1, height); hazier.Global > sky.Global {
			t.Fatalf("hazier air lets more through: %+v, %+v", hazier, sky)
		}
	})
}

// FAO-56, its example 8: 32.2 MJ/m2 a day arrive above the air at 20 S on 3 September [M].
// Summed here from the Sun's place every minute, with FAO's 0.0820 MJ/m2 a minute and the
// distance by its day of the year. FAO's short formula has the Sun at 0.120 rad north, 6.9
// degrees, where it stands at 7.4; that is worth 0.3 MJ/m2, so the tolerance is 0.35.
func TestExtraterrestrialDayFAO(t *testing.T) {
	sum := 0.0
	near := 1 + 0.033*math.Cos(2*math.Pi/365*246)
	for minute := range 24 * 60 {
		s := sun.At(time.Date(2023, 9, 3, 0, minute, 0, 0, time.UTC), unit.At(-20, 0))
		sum += 0.0820 * near * max(0, math.Sin(float64(s.Elevation)))
	}
	within(t, "MJ/m2 a day [M]", sum, 32.2, 0.35)
}
