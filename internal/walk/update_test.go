package walk_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

const simulated = 10_000

// dice returns a seeded generator, so that runs are reproducible.
func dice() *rand.Rand { return rand.New(rand.NewPCG(1892, 2022)) }

// normals draws standard normal values for a number of causes for each simulated group, spread evenly over the range
// of each cause (Latin hypercube: McKay, Beckman and Conover 1979, Technometrics 21:239-245). With plain random draws
// a correct model would be off by 1 % of 10 000 one time in twenty; a million plain draws gave 50.0 and 90.0 %.
func normals(r *rand.Rand, causes int) [][]float64 {
	groups := make([][]float64, simulated)
	for i := range groups {
		groups[i] = make([]float64, causes)
	}
	for cause := range causes {
		for i, place := range r.Perm(simulated) {
			share := (float64(place) + r.Float64()) / simulated
			groups[i][cause] = math.Sqrt2 * math.Erfinv(2*share-1)
		}
	}
	return groups
}

// coverage checks that 90 +-1 % of groups were back before P90 and 50 +-1 % before P50.
func coverage(t *testing.T, inside50, inside90 int) {
	t.Helper()
	p50, p90 := 100*float64(inside50)/simulated, 100*float64(inside90)/simulated
	t.Logf("back before P50 %.2f %%, before P90 %.2f %%", p50, p90)
	near(t, "percent back before P50", p50, 50, 1)
	near(t, "percent back before P90", p90, 90, 1)
}

func count(inside bool) int {
	if inside {
		return 1
	}
	return 0
}

// dayFactor is the factor that slows all legs alike, for two normal draws: who came, and how the day goes.
func dayFactor(s walk.Spread, person, day float64) float64 {
	return math.Exp(float64(s.Person)*person + float64(s.Day)*day)
}

// partFactor is the route's own factor for a share of the work and a normal draw, by the model of Update: squared
// coefficient of variation c^2/share, with the same mean for every part.
func partFactor(draw float64, s walk.Spread, share float64) float64 {
	route := float64(s.Route)
	variance := math.Log1p(math.Expm1(route*route) / share)
	return math.Exp((route*route-variance)/2 + math.Sqrt(variance)*draw)
}

func TestSimulatedUpdatesAreBackAsPromised(t *testing.T) {
	plan := estimate(t, hill(), walk.Party{Participants: 10, Staff: 2})
	for _, done := range []float64{0.1, 0.5, 0.9} {
		t.Run(fmt.Sprintf("%g done", done), func(t *testing.T) {
			in50, in90 := 0, 0
			for _, z := range normals(dice(), 4) {
				day := dayFactor(spreadOf(plan), z[0], z[1])
				behind := plan.P50.Hours() * done * day * partFactor(z[2], spreadOf(plan), done)
				ahead := plan.P50.Hours() * (1 - done) * day * partFactor(z[3], spreadOf(plan), 1-done)
				e, err := plan.Update(unit.Fraction(done), h(behind))
				if err != nil {
					t.Fatal(err)
				}
				in50 += count(h(behind+ahead) <= e.P50)
				in90 += count(h(behind+ahead) <= e.P90)
			}
			coverage(t, in50, in90)
		})
	}
}

// Independent delays on each of forty pieces are not exactly the model, which assumes that their sum is log-normal.
// Within 3 %: a check that the simplification does no harm.
func TestSimulatedLegByLegDelaysStayNearThePromise(t *testing.T) {
	plan := estimate(t, hill(), walk.Party{Participants: 10, Staff: 2})
	r := dice()
	in50, in90 := 0, 0
	for range simulated {
		day := dayFactor(spreadOf(plan), r.NormFloat64(), r.NormFloat64())
		half, whole := 0.0, 0.0
		for i := range 40 {
			stretch := plan.P50.Hours() / 40 * day * partFactor(r.NormFloat64(), spreadOf(plan), 1.0/40)
			whole += stretch
			if i < 20 {
				half += stretch
			}
		}
		e, err := plan.Update(0.5, h(half))
		if err != nil {
			t.Fatal(err)
		}
		in50 += count(h(whole) <= e.P50)
		in90 += count(h(whole) <= e.P90)
	}
	p50, p90 := 100*float64(in50)/simulated, 100*float64(in90)/simulated
	t.Logf("half way: back before P50 %.2f %%, before P90 %.2f %%", p50, p90)
	near(t, "percent back before P50", p50, 50, 3)
	near(t, "percent back before P90", p90, 90, 3)
}

func TestUpdateLearnsFromTheReport(t *testing.T) {
	plan := estimate(t, hill(), walk.Party{Participants: 6, Staff: 2})
	half := plan.P50 / 2
	onTime := update(t, plan, 0.5, half)
	slow := update(t, plan, 0.5, half*13/10)
	fast := update(t, plan, 0.5, half*8/10)

	near(t, "on time moves the middle by, share of the plan", onTime.P50.Hours()/plan.P50.Hours(), 1, 0.002)
	if onTime.P90 >= plan.P90 {
		t.Errorf("on time half way: P90 %s, want below the plan's %s", onTime.P90, plan.P90)
	}
	if !(fast.P50 < onTime.P50 && onTime.P50 < slow.P50) {
		t.Errorf("fast, on time, slow give P50 %s, %s, %s, want rising", fast.P50, onTime.P50, slow.P50)
	}
	toGo := (slow.P50 - slow.Past).Hours() / half.Hours()
	if !(toGo > 1.05 && toGo < 1.3) {
		t.Errorf("30 %% slow so far: rest at %.3f of its plan, want slower but less than 30 %%", toGo)
	}
	// By hand from the stated model: prior variance 0.03; half of the route has variance
	// n = ln(1 + (e^0.01 - 1)/0.5) and middle (0.01 - n)/2, behind the report and ahead.
	n := math.Log1p(math.Expm1(0.01) / 0.5)
	middle := (0.01 - n) / 2
	near(t, "rest against its plan", toGo, math.Exp(0.03/(0.03+n)*(math.Log(1.3)-middle)+middle), 1e-6)
}

func update(t *testing.T, e walk.Estimate, done unit.Fraction, elapsed time.Duration) walk.Estimate {
	t.Helper()
	got, err := e.Update(done, elapsed)
	if err != nil {
		t.Fatalf("Update(%g, %s): %v", float64(done), elapsed, err)
	}
	return got
}

func TestUpdateStartsFromThePlanEachTime(t *testing.T) {
	plan := estimate(t, hill(), walk.Party{Participants: 6, Staff: 2})
	straight := update(t, plan, 0.7, h(1.2))
	byWay := update(t, update(t, plan, 0.3, h(0.9)), 0.7, h(1.2))
	if diff := cmp.Diff(straight, byWay); diff != "" {
		t.Errorf("an earlier report changed the later answer (-straight +by way):\n%s", diff)
	}
}

func TestUpdateWithNothingDoneMovesTheWholeWalk(t *testing.T) {
	plan := estimate(t, hill(), walk.Party{Participants: 6, Staff: 2})
	e := update(t, plan, 0, h(0.5))
	near(t, "P50, hours", e.P50.Hours(), plan.P50.Hours()+0.5, 1e-6)
	near(t, "P90, hours", e.P90.Hours(), plan.P90.Hours()+0.5, 1e-6)
}

func TestUpdateAtTheEndIsCertain(t *testing.T) {
	plan := estimate(t, hill(), walk.Party{Participants: 6, Staff: 2})
	e := update(t, plan, 1, h(2))
	if e.P50 != h(2) || e.P90 != h(2) || e.Reach(1, 0.9) != h(2) {
		t.Errorf("P50 %s, P90 %s, end %s, want 2h for all", e.P50, e.P90, e.Reach(1, 0.9))
	}
	if e.BackBy(h(1.9)) != 0 || e.BackBy(h(2)) != 1 {
		t.Errorf("back by 1.9 h %v, by 2 h %v, want 0 and 1", e.BackBy(h(1.9)), e.BackBy(h(2)))
	}
}

func TestDelayMovesEveryQuantileAndTeachesNothing(t *testing.T) {
	plan := estimate(t, hill(), walk.Party{Participants: 6, Staff: 2})
	stop := 40 * time.Minute
	waited, err := plan.Delay(stop)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range []unit.Fraction{0.1, 0.5, 0.9} {
		near(t, "minutes later", (waited.Quantile(q) - plan.Quantile(q)).Minutes(), 40, 1e-6)
	}
	half := plan.P50 / 2
	with, without := update(t, waited, 0.5, half+stop), update(t, plan, 0.5, half)
	near(t, "half way on time but for the stop: minutes later", (with.P90 - without.P90).Minutes(), 40, 1e-6)
}

func TestReachedLegsAreBeforeTheReport(t *testing.T) {
	e := update(t, estimate(t, hill(), walk.Party{Participants: 6, Staff: 2}), 0.6, h(1.5))
	last := time.Duration(0)
	for i, end := range e.Ends {
		at := e.Reach(end, 0.9)
		if behind := at <= h(1.5); behind != (end <= 0.6) {
			t.Errorf("leg %d ends at share %.2f and %s, on the wrong side of the report", i, float64(end), at)
		}
		if at < last {
			t.Errorf("leg %d ends at %s, before the one before it, %s", i, at, last)
		}
		last = at
	}
}

func TestBadReportsAreRefusedByName(t *testing.T) {
	plan := estimate(t, hill(), walk.Party{Participants: 6, Staff: 2})
	tests := []struct {
		name    string
		done    unit.Fraction
		elapsed time.Duration
		want    string
	}{
		{"more than all", 1.1, time.Hour, "share of the work done 1.1"},
		{"less than none", -0.1, time.Hour, "share of the work done -0.1"},
		{"not a number", unit.Fraction(math.NaN()), time.Hour, "share of the work done"},
		{"before departure", 0.5, -time.Hour, "time since departure"},
		{"days ago", 0.5, 1000 * time.Hour, "time since departure"},
		{"in no time", 0.5, 0, "in no time"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := plan.Update(tt.done, tt.elapsed); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error %v, want it to name %q", err, tt.want)
			}
		})
	}
	if _, err := plan.Delay(-time.Minute); err == nil {
		t.Error("a delay below zero was taken")
	}
	waited, err := plan.Delay(time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := waited.Update(0.5, 30*time.Minute); err == nil {
		t.Error("half an hour since departure was taken after an hour's wait")
	}
}

func TestUpdateLearnsNothingAtTheTrailhead(t *testing.T) {
	plan := estimate(t, hill(), walk.Party{Participants: 6, Staff: 2})
	e := update(t, plan, 0.0005, h(1))
	// The rest is as planned except for the skew of the route's own part, far below a minute.
	near(t, "hours to go after an hour at the sign", (e.P50 - e.Past).Hours(), plan.P50.Hours()*0.9995, 0.001)
}
