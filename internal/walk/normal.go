package walk

import (
	"math"

	"saltbush/internal/unit"
)

// normalQuantile is the inverse of normalShare.
func normalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// normalShare is the standard normal distribution function.
func normalShare(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// House judgement: nobody plans by one hike in a thousand, and the model's tails beyond
// it are invention.
const (
	leastShare unit.Fraction = 0.001
	mostShare  unit.Fraction = 0.999
)

// held keeps a probability where the model can answer. What is not a number becomes the
// late end, so that a fault upstream looks slow, not fast.
func held(p unit.Fraction) float64 {
	if math.IsNaN(float64(p)) {
		return float64(mostShare)
	}
	return float64(max(leastShare, min(mostShare, p)))
}
