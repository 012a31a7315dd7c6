package plan_test

import (
	"math"
	"testing"

	"saltbush/internal/plan"
)

// The plan of a walk with a turn has the figures that the short option promised, as a plan of its own.
func TestPlanWithATurnKeepsWhatTheShortOptionPromised(t *testing.T) {
	in := hotMorning(t)
	whole := compute(t, in)
	s := whole.Short
	in.Turn = s.Turn
	in.Points = append(in.Points, plan.Point{Name: "Beyond", Along: s.Turn + 10})
	p := compute(t, in)
	if math.Abs(float64(p.Time.P50-s.P50)) > 2 || math.Abs(float64(p.Time.P90-s.P90)) > 2 ||
		p.Water.WithoutRefills != s.Carry || p.Water.Drink != s.Drink {
		t.Errorf("plan takes %v to %v s, %v L each at %v; the option promised %v to %v, %v at %v",
			p.Time.P50, p.Time.P90, p.Water.WithoutRefills, p.Water.Drink, s.P50, s.P90, s.Carry, s.Drink)
	}
	if whole.Verdict.Decision == plan.Go || p.Verdict.Decision != plan.Go {
		t.Errorf("the whole walk is a %s, the short one a %s %v; want only the short one to go",
			whole.Verdict.Decision, p.Verdict.Decision, p.Verdict.Reasons)
	}
	if p.Trail.Distance != s.Distance || p.Trail.Ascent >= whole.Trail.Ascent || p.Trail.Ascent <= 0 {
		t.Errorf("%.0f m with %.0f m up; want %.0f m and less than %.0f m up", p.Trail.Distance.Metres(),
			p.Trail.Ascent.Metres(), s.Distance.Metres(), whole.Trail.Ascent.Metres())
	}
	for _, at := range p.Time.Points {
		if at.Along > s.Turn {
			t.Errorf("the plan has a time for %s at %.0f m, beyond the turn at %.0f m", at.Name, at.Along.Metres(),
				s.Turn.Metres())
		}
	}
	in.Turn = in.Profile.Far() + 1
	if _, err := plan.Compute(in); err == nil {
		t.Error("a turn beyond the far point was planned")
	}
}
