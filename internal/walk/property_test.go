package walk_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

var surfaces = []walk.Surface{"", walk.Firm, walk.Rocky, walk.LooseSand, walk.Wash, walk.Steps}

func anyLeg(t *rapid.T) walk.Leg {
	return walk.Leg{
		Length:  unit.Length(rapid.Float64Range(10, 2000).Draw(t, "length")),
		Slope:   unit.Slope(rapid.Float64Range(-2, 2).Draw(t, "slope")),
		Surface: rapid.SampledFrom(surfaces).Draw(t, "surface"),
	}
}

func anyLegs(t *rapid.T) []walk.Leg {
	legs := make([]walk.Leg, rapid.IntRange(1, 20).Draw(t, "legs"))
	for i := range legs {
		legs[i] = anyLeg(t)
	}
	return legs
}

func anyParty(t *rapid.T) walk.Party {
	return walk.Party{
		Participants: rapid.IntRange(0, 60).Draw(t, "participants"),
		Staff:        rapid.IntRange(1, 8).Draw(t, "staff"),
		Pace:         rapid.SampledFrom([]walk.Pace{"", walk.Gentle, walk.Ordinary, walk.Brisk}).Draw(t, "pace"),
		Pack:         unit.Fraction(rapid.Float64Range(0, 0.4).Draw(t, "pack")),
	}
}

func mustEstimate(t *rapid.T, legs []walk.Leg, party walk.Party) walk.Estimate {
	e, err := walk.NewEstimate(legs, party)
	if err != nil {
		t.Fatalf("NewEstimate(%v, %+v): %v", legs, party, err)
	}
	return e
}

func TestEveryRateIsANumberAboveZero(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := unit.Slope(rapid.Float64Range(-2, 2).Draw(t, "slope"))
		for name, v := range map[string]unit.Speed{"Rate": walk.Rate(s), "Tobler": walk.Tobler(s)} {
			if !(v > 0 && v < 3) {
				t.Errorf("%s(%g) = %v, want a walking speed", name, float64(s), v)
			}
		}
	})
}

func TestSteeperIsNeverFaster(t *testing.T) {
	// Campbell 2022 is fastest near -1.4579 degrees; its linear term moves the maximum by under 0.1 degree. So
	// steeper means up from -1.4 degrees and down from -1.6.
	up, down := float64(onAngle(-1.4)), float64(onAngle(-1.6))
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 1.9).Draw(t, "near")
		b := rapid.Float64Range(0, 1.9).Draw(t, "far")
		near, far := math.Min(a, b), math.Max(a, b)
		if walk.Rate(unit.Slope(up+far)) > walk.Rate(unit.Slope(up+near)) {
			t.Errorf("rate at %g is above that at %g", up+far, up+near)
		}
		if walk.Rate(unit.Slope(down-far)) > walk.Rate(unit.Slope(down-near)) {
			t.Errorf("rate at %g is above that at %g", down-far, down-near)
		}
	})
}

func TestMoreWalkNeverTakesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		legs, party := anyLegs(t), anyParty(t)
		before := mustEstimate(t, legs, party)
		if more := mustEstimate(t, append(append([]walk.Leg{}, legs...), anyLeg(t)), party); more.P50 < before.P50 {
			t.Errorf("a leg more takes %s, less than %s", more.P50, before.P50)
		}
		longer := append([]walk.Leg{}, legs...)
		longer[0].Length *= unit.Length(rapid.Float64Range(1, 3).Draw(t, "longer"))
		if more := mustEstimate(t, longer, party); more.P90 < before.P90 {
			t.Errorf("a longer leg takes %s, less than %s", more.P90, before.P90)
		}
		party.Participants++
		if more := mustEstimate(t, legs, party); more.P50 < before.P50 {
			t.Errorf("one person more takes %s, less than %s", more.P50, before.P50)
		}
		party.Participants--
		party.Pack += unit.Fraction(rapid.Float64Range(0, 0.1).Draw(t, "more pack"))
		if more := mustEstimate(t, legs, party); more.P50 < before.P50 {
			t.Errorf("a heavier pack takes %s, less than %s", more.P50, before.P50)
		}
		steeper := append([]walk.Leg{}, legs...)
		steeper[0].Slope = unit.Slope(math.Abs(float64(legs[0].Slope))) // up rather than down
		party.Pack = 0
		flat := append([]walk.Leg{}, steeper...)
		flat[0].Slope *= unit.Slope(rapid.Float64Range(0, 1).Draw(t, "gentler"))
		if up, level := mustEstimate(t, steeper, party), mustEstimate(t, flat, party); up.P50 < level.P50 {
			t.Errorf("steeper up takes %s, less than %s", up.P50, level.P50)
		}
	})
}

func TestASlowerPaceNeverTakesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		legs, party := anyLegs(t), anyParty(t)
		last := walk.Estimate{}
		for _, pace := range []walk.Pace{walk.Brisk, walk.Ordinary, walk.Gentle} {
			party.Pace = pace
			e := mustEstimate(t, legs, party)
			if e.P50 <= last.P50 || e.P90 <= last.P90 {
				t.Errorf("%s takes %s, not more than the pace above it, %s", pace, e.P50, last.P50)
			}
			last = e
		}
	})
}

func TestSettingsNeverSaveTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		legs, party, s := anyLegs(t), anyParty(t), walk.DefaultSettings()
		estimate := func(s walk.Settings) walk.Estimate {
			e, err := s.Estimate(legs, party)
			if err != nil {
				t.Fatal(err)
			}
			return e
		}
		before := estimate(s)
		rested, lunch, junctions, wide := s, s, s, s
		rested.RestPerHour += time.Duration(rapid.IntRange(0, 240).Draw(t, "rest")) * time.Minute
		lunch.LongRest = time.Duration(rapid.IntRange(0, 90).Draw(t, "lunch")) * time.Minute
		junctions.Regroups = rapid.IntRange(0, 20).Draw(t, "junctions")
		wide.Spread = s.Spread.Scaled(s.Spread.Sigma() * unit.Fraction(rapid.Float64Range(1, 2).Draw(t, "wider")))
		for name, more := range map[string]walk.Settings{"rests": rested, "lunch": lunch, "junctions": junctions,
			"doubt": wide} {
			if after := estimate(more); after.P50 < before.P50 || after.P90 < before.P90-time.Microsecond {
				t.Errorf("with %s P50 %s and P90 %s, less than %s and %s",
					name, after.P50, after.P90, before.P50, before.P90)
			}
		}
	})
}

func spreadOf(e walk.Estimate) walk.Spread {
	return walk.Spread{Person: e.Person, Day: e.Day, Route: e.Route}
}

func TestEstimateIsConsistent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := mustEstimate(t, anyLegs(t), anyParty(t))
		if e.Breaks < 0 || e.MovingP50 <= 0 || e.P90 <= e.P50 {
			t.Errorf("walking %s, breaks %s, P50 %s, P90 %s", e.MovingP50, e.Breaks, e.P50, e.P90)
		}
		if got := spreadOf(e).Sigma(); math.Abs(float64(got-e.Sigma)) > 1e-12 {
			t.Errorf("the parts of the spread make %g, want sigma %g", float64(got), float64(e.Sigma))
		}
		if got := math.Hypot(float64(e.Group), float64(e.Route)); math.Abs(got-float64(e.Sigma)) > 1e-12 {
			t.Errorf("group and route make %g, want sigma %g", got, float64(e.Sigma))
		}
		q := unit.Fraction(rapid.Float64Range(0.002, 0.998).Draw(t, "q"))
		if back := e.BackBy(e.Quantile(q)); math.Abs(float64(back-q)) > 1e-6 {
			t.Errorf("back by the %g quantile = %g", float64(q), float64(back))
		}
	})
}

func TestUpdatesAreConsistent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := mustEstimate(t, anyLegs(t), anyParty(t))
		done := unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "done"))
		elapsed := time.Duration(rapid.Int64Range(1, int64(96*time.Hour)).Draw(t, "elapsed"))
		e, err := plan.Update(done, elapsed)
		if err != nil {
			t.Fatal(err)
		}
		if e.P50 < elapsed || e.P90 < e.P50 {
			t.Errorf("after %s: P50 %s, P90 %s, want in that order", elapsed, e.P50, e.P90)
		}
		if s := float64(e.Sigma); math.IsNaN(s) || math.IsInf(s, 0) || s < 0 {
			t.Errorf("sigma %g", s)
		}
		if late := e.Quantile(0.999); late < e.P90 {
			t.Errorf("the 0.999 quantile %s lies before P90 %s", late, e.P90)
		}
		later, err := plan.Update(done, min(elapsed+time.Minute, 96*time.Hour))
		if err != nil {
			t.Fatal(err)
		}
		if later.P50 < e.P50 || later.P90 < e.P90 {
			t.Errorf("reaching the same place later promises an earlier return: %s after %s", later.P90, e.P90)
		}
	})
}

func BenchmarkNewEstimate400Legs(b *testing.B) {
	legs := make([]walk.Leg, 400)
	for i := range legs {
		legs[i] = walk.Leg{Length: 50, Slope: unit.Slope(0.3 * math.Sin(float64(i))), Surface: walk.Rocky}
	}
	party := walk.Party{Participants: 12, Staff: 2}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := walk.NewEstimate(legs, party); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkUpdate(b *testing.B) {
	e, err := walk.NewEstimate([]walk.Leg{{Length: 9000}}, walk.Party{Staff: 2})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := e.Update(0.4, 80*time.Minute); err != nil {
			b.Fatal(err)
		}
	}
}
