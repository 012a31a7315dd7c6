package unit_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"saltbush/internal/unit"
)

// sexagesimal makes degrees from degrees, minutes and seconds.
func sexagesimal(d, m, s float64) float64 { return d + m/60 + s/3600 }

// Geodesics on WGS84, as printed. [F2] rows are published test lines, [C] rows were
// computed with Karney's method. DistanceTo promises 0.01 % below 20 km, the length of
// no step of a track; the longer rows say how far it may be trusted beyond, and are no
// claim of the source.
func TestDistanceToAgainstGeodesics(t *testing.T) {
	tests := []struct {
		name       string
		from, to   unit.Position
		want       float64
		tolerance  float64 // share of want
		confidence string
	}{
		{"a metre and a half at the equator", unit.At(0, 0), unit.At(0.00001, 0.00001), 1.569, 0.0005 / 1.569, "F2"},
		{"998 m north at 36 N", unit.At(36, -112), unit.At(36.009, -112), 998.632, 1e-4, "C"},
		{"992 m east at 36 N", unit.At(36, -112), unit.At(36, -111.989), 991.801, 1e-4, "C"},
		{"5.4 km across a canyon", unit.At(36.0565, -112.1251), unit.At(36.0988, -112.0947), 5433.999, 1e-4, "C"},
		{"Flinders Peak to Buninyong", // Geoscience Australia's Vincenty test line
			unit.At(-sexagesimal(37, 57, 3.72030), sexagesimal(144, 25, 29.52440)),
			unit.At(-sexagesimal(37, 39, 10.15610), sexagesimal(143, 55, 35.38390)), 54972.271, 1e-4, "F2"},
		{"a degree of equator", unit.At(0, 0), unit.At(0, 1), 111319.491, 1e-8, "F2"},
		{"a degree of meridian at the equator", unit.At(0, 0), unit.At(1, 0), 110574.389, 1e-4, "C"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, got := range []unit.Length{tt.from.DistanceTo(tt.to), tt.to.DistanceTo(tt.from)} {
				if math.Abs(got.Metres()-tt.want) > tt.tolerance*tt.want {
					t.Errorf("distance %.3f m, want %.3f [%s], off by %.4f %%",
						got.Metres(), tt.want, tt.confidence, 100*(got.Metres()/tt.want-1))
				}
			}
		})
	}
}

// The same line across the date line and anywhere else is equally long, and its middle is
// on it.
func TestDateLine(t *testing.T) {
	a, b := unit.At(10, 179.99), unit.At(10.01, -179.99)
	want := unit.At(10, 20.99).DistanceTo(unit.At(10.01, 21.01))
	if got := a.DistanceTo(b); math.Abs((got - want).Metres()) > 1e-6 {
		t.Errorf("distance %v, want %v", got, want)
	}
	middle := a.Toward(b, 0.5)
	if math.Abs(middle.Lat.Degrees()-10.005) > 1e-9 || math.Abs(math.Abs(middle.Lon.Degrees())-180) > 1e-9 {
		t.Errorf("middle %v N %v E, want 10.005 N on the date line", middle.Lat.Degrees(), middle.Lon.Degrees())
	}
	if three := a.Toward(b, 0.75); math.Abs(three.Lon.Degrees()+179.995) > 1e-9 {
		t.Errorf("three quarters lie at %v E, want -179.995", three.Lon.Degrees())
	}
}

func TestValid(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct {
		name string
		at   unit.Position
		want bool
	}{
		{"a place", unit.At(33, -112), true},
		{"north pole and date line", unit.At(90, 180), true},
		{"south pole and date line", unit.At(-90, -180), true},
		{"beyond the pole", unit.At(90.001, 0), false},
		{"beyond the date line", unit.At(0, -180.001), false},
		{"no latitude", unit.At(nan, 0), false},
		{"no longitude", unit.At(0, nan), false},
		{"infinite", unit.At(inf, 0), false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.at.Valid(); got != tt.want {
				t.Errorf("Valid() = %v, want %v", got, tt.want)
			}
		})
	}
}

func TestDistanceProperties(t *testing.T) {
	place := rapid.Custom(func(t *rapid.T) unit.Position {
		return unit.At(rapid.Float64Range(-85, 85).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon"))
	})
	rapid.Check(t, func(t *rapid.T) {
		a := place.Draw(t, "a")
		b := unit.Position{
			Lat: a.Lat + unit.Angle(rapid.Float64Range(-0.05, 0.05).Draw(t, "north"))*unit.Degree,
			Lon: unit.Angle(math.Remainder(float64(a.Lon)+rapid.Float64Range(-0.001, 0.001).Draw(t, "east"),
				2*math.Pi)),
		}
		d := a.DistanceTo(b)
		if a.DistanceTo(a) != 0 || !(d >= 0) || math.Abs((d-b.DistanceTo(a)).Metres()) > 1e-6 {
			t.Fatalf("there %v, back %v, to itself %v", d, b.DistanceTo(a), a.DistanceTo(a))
		}
		f := unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "share"))
		m := a.Toward(b, f)
		sum := a.DistanceTo(m) + m.DistanceTo(b)
		if !m.Valid() || math.Abs((sum-d).Metres()) > 0.001*d.Metres()+1e-6 {
			t.Fatalf("by way of %v: %v, straight %v", m, sum, d)
		}
	})
}
