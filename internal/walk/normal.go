package walk

import (
	"math"

	"saltbush/internal/unit"
)

// normalQuantile is the inverse of normalShare.
func normalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// normalShare is the standard normal distribution function.
func normalShare(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// Our judgment: nobody plans for one hike in a thousand, and beyond that the tails of the model mean nothing.
const (
	leastShare unit.Fraction = 0.001
	mostShare  unit.Fraction = 0.999
)

// held limits a probability to the range of the model. NaN becomes the late end, so that a bug in the caller looks
// slow, not fast.
func held(p unit.Fraction) float64 {
	if math.IsNaN(float64(p)) {
		return float64(mostShare)
	}
	return float64(max(leastShare, min(mostShare, p)))
}
