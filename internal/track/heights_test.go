package track_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// Deterministic cases of published and worked examples: naive sum of a ten-value line
// (5+5+2+1; one web page prints 14, a slip) [F2], the rest by their own arithmetic [C].
func TestClimbReference(t *testing.T) {
	staircase := func() (v []float64) {
		for h := 0.0; h <= 100; h += 2 {
			v = append(v, h)
		}
		return v
	}()
	sawtooth := func() (v []float64) {
		for i := range 200 {
			v = append(v, 4-8*float64(i%2))
		}
		return v
	}()
	spiked := append([]float64(nil), staircase...)
	spiked[25] += 500
	tests := []struct {
		name     string
		heights  []float64
		step     unit.Length
		up, down float64
	}{
		{"naive, ten values", []float64{12, 17, 15, 20, 22, 18, 15, 16, 14, 12}, 0, 13, 13},
		{"staircase of 2 m, threshold 10 m", staircase, 10, 100, 0},
		{"sawtooth of 4 m, threshold 10 m", sawtooth, 10, 0, 0},
		{"ramp with a spike of 500 m, median of three", track.Median3(spiked), 10, 100, 0},
		// 0 to 550, down to 52, up to 100.
		{"the same spike without the median", spiked, 10, 598, 498},
		{"a hill, exact to its turning points", []float64{0, 7, 30, 26, 31, 12, 3}, 10, 31, 28},
		{"end below the threshold", []float64{0, 20, 15}, 10, 20, 0},
		{"nothing", nil, 10, 0, 0},
		{"one value", []float64{7}, 0, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			up, down := track.Climb(tt.heights, tt.step)
			near(t, "up", up.Metres(), tt.up, 1e-9)
			near(t, "down", down.Metres(), tt.down, 1e-9)
		})
	}
}

// White noise of sigma over n flat values climbs (n-1) sigma / sqrt(pi) when summed
// naively: exact expectation. The mean of 50 runs is within 1 %.
func TestClimbOfWhiteNoise(t *testing.T) {
	for _, sigma := range []float64{1, 3, 5} {
		const n, repeats = 1000, 50
		r := rand.New(rand.NewPCG(uint64(sigma), 1))
		mean := 0.0
		for range repeats {
			up, _ := track.Climb(whiteNoise(r, n, sigma), 0)
			mean += up.Metres() / repeats
		}
		want := (n - 1) * sigma / math.Sqrt(math.Pi)
		near(t, "mean naive climb", mean, want, 0.01*want)
	}
}

func whiteNoise(r *rand.Rand, n int, sigma float64) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = r.NormFloat64() * sigma
	}
	return v
}

// The whole cleaning on a level walk of 1 km at one fix a meter with 1, 3 and 5 m of white
// height noise: naive sums are 560 to 2800 m.
func TestLevelWalkWithNoisyHeightsHasNoClimb(t *testing.T) {
	for _, sigma := range []float64{1, 3, 5} {
		r := rand.New(rand.NewPCG(3, uint64(sigma)))
		rec := recorded(straight(1000, 1, func(float64) float64 { return 500 + r.NormFloat64()*sigma }))
		p := profile(t, rec, track.OneWay)
		near(t, "climb", p.Ascent.Metres(), 0, 0.01)
		near(t, "fall", p.Descent.Metres(), 0, 0.01)
	}
}
