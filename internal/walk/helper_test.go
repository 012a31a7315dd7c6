package walk_test

import (
	"math"
	"testing"
	"time"

	"saltbush/internal/unit"
)

// onAngle makes a slope from degrees above horizontal.
func onAngle(degrees float64) unit.Slope { return unit.Slope(math.Tan(degrees * math.Pi / 180)) }

func percent(p float64) unit.Slope { return unit.Slope(p / 100) }

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.6f, want %.6f within %g", what, got, want, tolerance)
	}
}

func h(hours float64) time.Duration { return time.Duration(hours * float64(time.Hour)) }
