package sun

import (
	"math"
	"testing"
	"time"

	"saltbush/internal/unit"
)

// Meeus 1998, examples 25.a (p. 165) and 28.b (p. 185): 1992 October 13 at 0h TD, JDE 2448908.5. As printed [F2].
// Tolerance: half the last printed digit, but two units in the last place for the position, as the book rounds its
// steps.
func TestOrbitMeeusExamples(t *testing.T) {
	o := orbitAt((2448908.5 - julian2000) / julianCentury)
	arc := func(d, m, s float64) float64 { return d + m/60 + s/3600 }
	tests := []struct {
		name                 string
		got, want, tolerance float64
	}{
		{"T", (2448908.5 - julian2000) / julianCentury, -0.072183436, 0.5e-9},
		{"true longitude", turn(o.trueLongitude / degree), 199.90987, 1e-5},
		{"mean anomaly", o.meanAnomaly / degree, -2241.00603, 1e-5},
		{"eccentricity", o.eccentricity, 0.016711668, 0.5e-9},
		{"distance", o.distance, 0.99766, 0.5e-5},
		{"apparent longitude", turn(o.longitude / degree), arc(199, 54, 32), 0.5 / 3600},
		{"right ascension", turn(o.ascension / degree), 15 * arc(13, 13, 31.4), 15 * 0.05 / 3600},
		{"declination", o.declination / degree, -arc(7, 47, 6), 0.5 / 3600},
		{"equation of time 28.b", o.equation, 0.0598256, 0.5e-7},
		{"equation of time 28.b in seconds", o.equation / degree * 240, 13*60 + 42.7, 0.05},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if math.Abs(test.got-test.want) > test.tolerance {
				t.Errorf("got %.9g, want %.9g within %.2g", test.got, test.want, test.tolerance)
			}
		})
	}
}

func turn(degrees float64) float64 { return math.Mod(math.Mod(degrees, 360)+360, 360) }

// NREL SPA worked example (Reda and Andreas 2008), Golden, 2003-10-17 19:30:30 UTC [F2]. Tolerance of the
// low-accuracy formulas: 0.02 degrees.
func TestOrbitSPAExample(t *testing.T) {
	when := time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC)
	o := orbitAt(centuries(when))
	tests := []struct {
		name                 string
		got, want, tolerance float64
	}{
		{"julian date", centuries(when)*julianCentury + julian2000, 2452930.312847, 0.5e-6},
		{"distance", o.distance, 0.9965422974, 1e-4},
		{"apparent longitude", turn(o.longitude / degree), 204.0085519281, 0.02},
		{"right ascension", turn(o.ascension / degree), 202.227408, 0.02},
		{"declination", o.declination / degree, -9.31434, 0.02},
		{"true longitude", turn(o.trueLongitude / degree), 204.0182616917, 0.02},
		{"obliquity", meanObliquity(centuries(when)) / degree, 23.440465, 0.02},
		{"hour angle", hourAngle(when, unit.At(39.742476, -105.1786), o) / degree, 11.10590, 0.02},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if math.Abs(test.got-test.want) > test.tolerance {
				t.Errorf("got %.9g, want %.9g within %.2g", test.got, test.want, test.tolerance)
			}
		})
	}
}

// Meeus 1998, example 16.a (p. 107): refraction 24.618' at a true elevation of 33.246' [F2], by a formula that the
// book calls accurate to 0.1'. The NOAA fit is a different one; its tolerance is 0.5', a tenth of what a minute of
// time needs.
func TestRefractionMeeusExample(t *testing.T) {
	got := refraction(33.246/60) * 60
	if math.Abs(got-24.618) > 0.5 {
		t.Errorf("refraction at 33.246' = %.3f', want 24.618' within 0.5'", got)
	}
}

// Meeus 1998, example 16.a, its first half: refraction 28.754' for a Sun seen at 0.5 degrees [F2]. Our fit starts
// from the true elevation, which is then 30' - 28.754'. Tolerance 0.5', as above.
func TestRefractionMeeusSeenElevation(t *testing.T) {
	got := refraction((30-28.754)/60) * 60
	if math.Abs(got-28.754) > 0.5 {
		t.Errorf("refraction at 1.246' = %.3f', want 28.754' within 0.5'", got)
	}
}
