package heat_test

import (
	"fmt"
	"testing"

	"saltbush/internal/heat"
)

// NIOSH acclimatisation poster [F]: new people 20 % on day 1 and 20 % more each day, those
// who know heat 50, 60, 80, 100 %.
func TestSharesOfTheFirstDays(t *testing.T) {
	newcomers := []float64{0.2, 0.4, 0.6, 0.8, 1, 1}
	returners := []float64{0.5, 0.6, 0.8, 1, 1, 1}
	for i := range newcomers {
		within(t, fmt.Sprintf("newcomer's day %d [F]", i+1), float64(heat.NewcomersShare(i+1)), newcomers[i], 1e-12)
		within(t, fmt.Sprintf("returner's day %d [F]", i+1), float64(heat.ReturnersShare(i+1)), returners[i], 1e-12)
	}
	for _, before := range []int{0, -3} {
		within(t, "before the first day, newcomer", float64(heat.NewcomersShare(before)), 0.2, 1e-12)
		within(t, "before the first day, returner", float64(heat.ReturnersShare(before)), 0.5, 1e-12)
	}
}

// Daanen et al. 2018 [F]: 2.5 % a day; the ladder from it is linear [C].
func TestAdaptationLeft(t *testing.T) {
	for days, want := range map[int]float64{-5: 1, 0: 1, 4: 0.90, 10: 0.75, 14: 0.65, 40: 0, 100: 0} {
		within(t, fmt.Sprintf("%d days away [C]", days), float64(heat.AdaptationLeft(days)), want, 1e-9)
	}
	for days := range 60 {
		if heat.AdaptationLeft(days+1) > heat.AdaptationLeft(days) {
			t.Errorf("more is left after %d days than after %d", days+1, days)
		}
	}
}
