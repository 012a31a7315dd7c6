package walk_test

import (
	"fmt"
	"math"
	"testing"

	"saltbush/internal/walk"
)

// Marks in these tables: F is the source's own text, F2 second-hand, C computed from the formula so marked (a check
// of our code, not a printed figure), M from memory.

func TestRate(t *testing.T) {
	// Campbell 2022 median [C] from [F2] coefficients, m/s, tolerance 0.001.
	tests := []struct{ angle, want float64 }{
		{-30, 0.474}, {-20, 0.704}, {-10, 1.013}, {-5, 1.127}, {0, 1.148}, {5, 1.065}, {10, 0.916}, {20, 0.612},
		{30, 0.406},
	}
	for _, tt := range tests {
		got := walk.Rate(onAngle(tt.angle)).MetresPerSecond()
		near(t, fmt.Sprintf("rate at %g degrees [C]", tt.angle), got, tt.want, 0.001)
	}
}

func TestRateMoreOfTheMedian(t *testing.T) {
	// Campbell 2022 median [C]: four digits, so half of the last, except the slope of the
	// maximum, which is printed.
	tests := []struct{ angle, want float64 }{
		{-25, 0.5754}, {-15, 0.8569}, {-1.4579, 1.1534}, {15, 0.7551}, {25, 0.4962},
	}
	for _, tt := range tests {
		got := walk.Rate(onAngle(tt.angle)).MetresPerSecond()
		near(t, fmt.Sprintf("rate at %g degrees [C]", tt.angle), got, tt.want, 0.00005)
	}
}

func TestRateLimitsSlopesToThirtyDegrees(t *testing.T) {
	for _, angle := range []float64{31, 45, 60} {
		if got, want := walk.Rate(onAngle(angle)), walk.Rate(onAngle(30)); got != want {
			t.Errorf("rate at %g degrees = %v, want %v as at 30", angle, got, want)
		}
		if got, want := walk.Rate(onAngle(-angle)), walk.Rate(onAngle(-30)); got != want {
			t.Errorf("rate at -%g degrees = %v, want %v as at -30", angle, got, want)
		}
	}
}

// rateRational is the same median by the author's later rational curve, as in the author's R package; t in degrees.
func rateRational(t float64) float64 {
	return (0.006512*t*t + 80.88869) / (0.140214*t*t + 70.389209)
}

func TestRateAgreesWithTheLaterRationalForm(t *testing.T) {
	// The reference sheet says within 0.06 m/s [F2].
	worst := 0.0
	for angle := -30.0; angle <= 30; angle++ {
		worst = max(worst, math.Abs(walk.Rate(onAngle(angle)).MetresPerSecond()-rateRational(angle)))
	}
	t.Logf("worst gap %.4f m/s", worst)
	if worst > 0.06 {
		t.Errorf("worst gap %.4f m/s, want at most 0.06", worst)
	}
}

// Irmischer and Clarke 2018, Cartogr. Geogr. Inf. Sci. 45(2):177-186 [F2], men on a road, slope in percent with its
// sign [M]: 0.11 + exp(-(S+5)^2 / (2 30^2)) m/s; values [C]. Other people and other ground, but within a seventh of
// our curve. The bound was set after seeing that, and catches only mistakes.
func TestRateAgreesWithIrmischerAndClarke(t *testing.T) {
	tests := []struct{ percent, speed float64 }{
		{-20, 0.992}, {-10, 1.096}, {-5, 1.110}, {0, 1.096}, {10, 0.992}, {20, 0.817}, {30, 0.616},
	}
	for _, tt := range tests {
		ratio := walk.Rate(percent(tt.percent)).MetresPerSecond() / tt.speed
		near(t, fmt.Sprintf("our rate over theirs at %g %%", tt.percent), ratio, 1, 0.15)
	}
}

func TestTobler(t *testing.T) {
	// Tobler 1993's sample table [F2], tolerance 0.005 km/h and 0.05 min/km.
	tests := []struct{ angle, speed, pace float64 }{
		{-30, 0.95, 63.3}, {-25, 1.40, 42.9}, {-20, 2.00, 30.0}, {-15, 2.80, 21.4},
		{-10, 3.86, 15.6}, {-5, 5.26, 11.4}, {-2.8624, 6.00, 10.0}, {0, 5.04, 11.9},
		{1, 4.74, 12.7}, {5, 3.71, 16.2}, {10, 2.72, 22.1}, {15, 1.97, 30.4},
		{20, 1.41, 42.6}, {25, 0.98, 60.9}, {30, 0.67, 89.9}, {40, 0.27, 224.6},
	}
	for _, tt := range tests {
		got := walk.Tobler(onAngle(tt.angle)).KilometresPerHour()
		near(t, fmt.Sprintf("km/h at %g degrees [F2]", tt.angle), got, tt.speed, 0.005)
		near(t, fmt.Sprintf("min/km at %g degrees [F2]", tt.angle), 60/got, tt.pace, 0.05)
	}
}
