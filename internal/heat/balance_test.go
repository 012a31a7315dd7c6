package heat

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"saltbush/internal/unit"
)

// relax iterates as Liljegren et al. 2008 do: nine parts of the old value and one of the new, until a step is under
// 0.02 K.
func relax(t float64, next func(float64) float64) float64 {
	for range 500 {
		to := next(t)
		if math.Abs(to-t) < 0.02 {
			return to
		}
		t = 0.9*t + 0.1*to
	}
	return math.NaN()
}

func (s *surroundings) relaxed() (globe, wet float64) {
	taken := s.globeTaken()
	globe = relax(s.air, func(t float64) float64 {
		radiating := s.globeGain(taken, t) + globeEmissivity*stefanBoltzmann*fourth(t)
		return radiantTemperature(radiating, globeEmissivity)
	})
	taken = s.wickTaken()
	wet = relax(s.dew(), func(t float64) float64 { return t + s.wickGain(taken, t) })
	return globe - 273.15, wet - 273.15
}

// Set A (thermofeel [F2]; globe and wet bulb from the C code [C]) with that code's start and stopping rule on our
// balances. This shows that the equations are the same: 0.005 is half of the printed tolerance, for an original in
// single precision.
func TestRelaxedSetA(t *testing.T) {
	tests := []struct {
		name                           string
		t, rh, hPa, v10, s, direct, cz float64
		globe, wet, wbgt               float64
	}{
		{"35 C light wind", 35, 40, 1013, 1.0, 800, 0.70, 0.90, 54.087, 27.275, 33.410},
		{"30 C humid", 30, 70, 1010, 3.0, 500, 0.50, 0.70, 39.952, 26.877, 29.804},
		{"20 C breeze", 20, 60, 1015, 5.0, 200, 0.30, 0.50, 23.072, 15.799, 17.674},
		{"25 C no sun", 25, 85, 1008, 2.0, 0, 0, 0.05, 24.287, 22.986, 23.448},
		{"33 C nearly still", 33, 50, 1013, 0.62, 700, 0.60, 0.80, 53.947, 28.742, 34.208},
		{"32 C direct capped at 0.9", 32, 35, 1012, 2.5, 900, 0.97, 0.95, 46.043, 22.386, 28.079},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := newSurroundings(Air{
				Temperature: unit.Celsius(test.t), Humidity: unit.Fraction(test.rh / 100),
				Pressure: unit.Pressure(test.hPa) * unit.Hectopascal,
				Wind:     Urban.WindAt2m(unit.Speed(test.v10), unit.Irradiance(test.s), true),
				Solar:    unit.Irradiance(test.s), Direct: unit.Fraction(test.direct),
				Zenith: unit.Angle(math.Acos(test.cz)),
			})
			globe, wet := s.relaxed()
			wbgt := 0.7*wet + 0.2*globe + 0.1*test.t
			for _, x := range []struct {
				name      string
				got, want float64
			}{{"globe", globe, test.globe}, {"natural wet bulb", wet, test.wet}, {"WBGT", wbgt, test.wbgt}} {
				if !(math.Abs(x.got-x.want) <= 0.005) {
					t.Errorf("%s = %.4f, want %.3f within 0.005", x.name, x.got, x.want)
				}
			}
		})
	}
}

// Any weather in range, including its corners.
var anyAir = rapid.Custom(func(t *rapid.T) Air {
	draw := func(i int) float64 {
		return rapid.Float64Range(ranges[i].low, ranges[i].high).Draw(t, ranges[i].quantity)
	}
	return Air{
		Temperature: unit.Celsius(draw(0)), Humidity: unit.Fraction(draw(1)),
		Pressure: unit.Pressure(draw(2)) * unit.Hectopascal, Wind: unit.Speed(draw(3)),
		Solar: unit.Irradiance(draw(4)), Direct: unit.Fraction(draw(5)),
		Zenith: unit.Angle(draw(6)) * unit.Degree,
	}
})

// Where the solver stops, each balance changes its sign within a thousandth of a kelvin to either side. So the
// bracket contained the root, and the root was found.
func TestBalancesAreAtRest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := newSurroundings(anyAir.Draw(t, "air"))
		globe, wick := s.globeTaken(), s.wickTaken()
		balances := []struct {
			name string
			at   float64
			gain func(float64) float64
		}{
			{"globe", s.globe(), func(x float64) float64 { return s.globeGain(globe, x) }},
			{"natural wet bulb", s.naturalWetBulb(), func(x float64) float64 { return s.wickGain(wick, x) }},
		}
		for _, b := range balances {
			if below, above := b.gain(b.at-1e-3), b.gain(b.at+1e-3); !(below > 0 && above < 0) {
				t.Fatalf("%s at %.4f K: pushed by %g below and %g above", b.name, b.at, below, above)
			}
		}
	})
}

// The secants must not take more steps than bisection would, for gains of different shapes.
func TestRootTakesFewSteps(t *testing.T) {
	tests := []struct {
		name string
		gain func(float64) float64
		want float64
		most int
	}{
		{"straight", func(x float64) float64 { return 300 - x }, 300, 5},
		{"fourth power", func(x float64) float64 { return 1 - fourth(x/300) }, 300, 12},
		{"exponential", func(x float64) float64 { return 1 - math.Exp((x-300)/5) }, 300, 20},
		{"flat, then a cliff", func(x float64) float64 { return 1e-6 - math.Pow(x/400, 60) },
			400 * math.Pow(1e-6, 1.0/60), 30},
		{"a step", func(x float64) float64 { return math.Copysign(1, 290.5-x) }, 290.5, 64},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			steps := 0
			got := root(func(x float64) float64 {
				steps++
				return test.gain(x)
			}, 250, 400)
			if math.Abs(got-test.want) > settled || steps > test.most {
				t.Errorf("root %.7f after %d steps, want %.7f after at most %d", got, steps, test.want, test.most)
			}
		})
	}
}

func TestRootKeepsToItsBracket(t *testing.T) {
	for _, end := range []float64{250, 400} {
		t.Run(fmt.Sprintf("root beyond %g", end), func(t *testing.T) {
			far := func(x float64) float64 { return (end-325)*10 + 325 - x }
			if got := root(far, 250, 400); got != end {
				t.Errorf("got %g, want the nearer end %g", got, end)
			}
		})
	}
}
