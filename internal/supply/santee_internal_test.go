package supply

import (
	"math"
	"testing"

	"saltbush/internal/unit"
)

// The two terms of the downhill form, W [C on M]: Pandolf's, and Santee's correction from
// memory. Tolerance 0.1.
func TestDownhillTerms(t *testing.T) {
	tests := []struct {
		name                string
		body, load          unit.Mass
		speed               unit.Speed
		slope               unit.Slope
		n                   Terrain
		pandolf, correction float64
	}{
		{"80 kg, 15 kg, 1.34 m/s, -6 %, light brush", 80, 15, 1.34, -0.06, 1.2, 112.9, -234.0},
		{"80 kg, 15 kg, 1.34 m/s, -12 %, road", 80, 15, 1.34, -0.12, 1, -152.1, -456.0},
	}
	for _, tt := range tests {
		own := pandolf(tt.body, tt.load, tt.speed, tt.slope, tt.n).Watts()
		off := santee(tt.body, tt.load, tt.speed, tt.slope, tt.n).Watts()
		if math.Abs(own-tt.pandolf) > 0.1 || math.Abs(off-tt.correction) > 0.1 {
			t.Errorf("%s: %.2f and %.2f W, want %.1f and %.1f", tt.name, own, off, tt.pandolf, tt.correction)
		}
	}
}
