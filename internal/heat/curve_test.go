package heat_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

var midnight = time.Date(2024, 6, 20, 0, 0, 0, 0, time.FixedZone("", -7*3600))

func at(hour float64) time.Time { return midnight.Add(time.Duration(hour * float64(time.Hour))) }

// Parton and Logan 1981, 1.5 m, two days from the formula as published [C]. Tolerance 0.01.
// The low of the first day comes at 5.25 - 0.17 = 5.08 h.
func TestCurvePartonLogan(t *testing.T) {
	summer := heat.NewCurve(24, 41, at(5.25), at(19.75))
	winter := heat.NewCurve(5, 20, at(7.5), at(17.5))
	tests := []struct {
		name       string
		curve      heat.Curve
		hour, want float64
	}{
		{"summer", summer, 5.08, 24.00}, {"summer", summer, 6, 26.69}, {"summer", summer, 8, 32.20},
		{"summer", summer, 10, 36.75}, {"summer", summer, 12, 39.80}, {"summer", summer, 14, 40.99},
		{"summer", summer, 15, 40.83}, {"summer", summer, 16, 40.18}, {"summer", summer, 18, 37.46},
		{"summer", summer, 19.75, 33.77}, {"summer", summer, 22, 29.80},
		{"summer, next night", summer, 24, 27.65}, {"summer, next night", summer, 27, 25.82},
		{"summer, night before", summer, 0, 27.65}, {"summer, night before", summer, 3, 25.82},
		{"winter", winter, 8, 7.29}, {"winter", winter, 10, 13.61}, {"winter", winter, 12, 18.15},
		{"winter", winter, 14, 19.99}, {"winter", winter, 16, 18.73}, {"winter", winter, 18, 15.07},
		{"winter", winter, 22, 10.37}, {"winter, next night", winter, 30, 6.53},
	}
	for _, test := range tests {
		t.Run(fmt.Sprintf("%s %g h", test.name, test.hour), func(t *testing.T) {
			within(t, "air", test.curve.At(at(test.hour)).Celsius(), test.want, 0.01)
		})
	}
}

// The published peak of the summer day is at 14.19 h [C], half the last digit.
func TestCurvePeak(t *testing.T) {
	curve := heat.NewCurve(24, 41, at(5.25), at(19.75))
	best := 0.0
	for h := 10.0; h < 18; h += 0.001 {
		if curve.At(at(h)) > curve.At(at(best)) {
			best = h
		}
	}
	within(t, "hour of the peak", best, 14.19, 0.005)
}

// The published curve drops at sunrise by the rest of the night's fall, a ninth. Ours is brought down to the low in
// the last hour, so that it changes by less than 0.8 K in five minutes even on the widest desert day; the published
// step would be 2 K there.
func TestCurveDoesNotJump(t *testing.T) {
	curve := heat.NewCurve(10, 41, at(5.25), at(19.75))
	for minute := range 48 * 60 {
		h := float64(minute)/60 - 12
		if step := curve.At(at(h+5.0/60)) - curve.At(at(h)); math.Abs(float64(step)) > 0.8 {
			t.Fatalf("from %.3f h the air changes by %.2f K in five minutes", h, step)
		}
	}
}

// For any day: never below the low or above the high, the same a day later, continuous.
func TestCurveProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := unit.Celsius(rapid.Float64Range(-30, 45).Draw(t, "low"))
		high := low + unit.Celsius(rapid.Float64Range(0, 35).Draw(t, "swing"))
		rise := rapid.Float64Range(0, 12).Draw(t, "rise")
		daylight := rapid.Float64Range(0.1, 23.9).Draw(t, "daylight")
		curve := heat.NewCurve(low, high, at(rise), at(rise+daylight))
		h := rapid.Float64Range(-48, 72).Draw(t, "hour")
		got := curve.At(at(h))
		if !(got >= low-1e-9 && got <= high+1e-9) {
			t.Fatalf("%g C at %g h is outside %g to %g", got, h, low, high)
		}
		if tomorrow := curve.At(at(h + 24)); math.Abs(float64(tomorrow-got)) > 1e-6 {
			t.Fatalf("%g C at %g h, %g a day later", got, h, tomorrow)
		}
		if soon := curve.At(at(h + 1.0/3600)); math.Abs(float64(soon-got)) > 0.05 {
			t.Fatalf("%g C at %g h, %g a second later", got, h, soon)
		}
	})
}

func TestCurveWithoutACourse(t *testing.T) {
	tests := []struct {
		name      string
		rise, set time.Time
	}{
		{"zero times count as hot", time.Time{}, time.Time{}},
		{"no set counts as hot", at(5), time.Time{}},
		{"set before rise counts as hot", at(19), at(5)},
		{"polar day counts as hot", at(0), at(24)},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			curve := heat.NewCurve(10, 30, test.rise, test.set)
			for h := range 24 {
				within(t, fmt.Sprintf("%d h", h), curve.At(at(float64(h))).Celsius(), 30, 0)
			}
		})
	}
}

func TestCurveTakesSwappedTemperatures(t *testing.T) {
	straight, swapped := heat.NewCurve(10, 30, at(6), at(18)), heat.NewCurve(30, 10, at(6), at(18))
	within(t, "noon", swapped.At(at(12)).Celsius(), straight.At(at(12)).Celsius(), 0)
}
