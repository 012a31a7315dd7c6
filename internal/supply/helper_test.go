package supply_test

import (
	"math"
	"strings"
	"testing"

	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

// Marks in the tables of these tests: F is the source's own text, F2 second-hand, C computed from the formula so
// marked (a check of our code, not a printed figure), M from memory.

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.6f, want %.6f within %g", what, got, want, tolerance)
	}
}

func names(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("error %v, want it to name %q", err, want)
	}
}

func percent(p float64) unit.Slope { return unit.Slope(p / 100) }

var nan = math.NaN()

// road is the terrain factor of blacktop, the reference of the others.
const road supply.Terrain = 1
