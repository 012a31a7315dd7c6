package plan_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"saltbush/internal/plan"
)

func TestInsteadNamesTheStart(t *testing.T) {
	warm := plan.Forecast{Low: 14, High: 31, DewPoint: 0, Wind: 2}
	hot := plan.Forecast{Low: 24, High: 41, DewPoint: 2, Wind: 2}
	at := func(hour int) time.Time { return time.Date(2026, 4, 18, hour, 0, 0, 0, arizona) }
	for _, c := range []struct {
		name     string
		forecast plan.Forecast
		start    time.Time
		decision plan.Decision
		want     string
	}{
		{"too late in the day", warm, at(9), plan.Change, "earlier, and the whole route passes"},
		{"too hot at any start", hot, at(11), plan.Cancel, "the advice is change, no longer cancel"},
		{"too hot at dawn already", hot, at(6), plan.Change, "the least bad is"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := ordinary(t)
			in.Forecast, in.Start = c.forecast, c.start
			p := compute(t, in)
			says := strings.Join(p.Verdict.Instead, " ")
			if p.Verdict.Decision != c.decision || !strings.Contains(says, c.want) {
				t.Errorf("%s, instead %q: want %s with %q", p.Verdict.Decision, says, c.decision, c.want)
			}
			if c.decision == plan.Change && strings.Contains(says, "no longer cancel") {
				t.Errorf("not cancelled, and yet %q", says)
			}
		})
	}
}

// What is said instead of a late start holds: the plan from that start goes.
func TestInsteadHolds(t *testing.T) {
	in := ordinary(t)
	in.Forecast = plan.Forecast{Low: 14, High: 31, DewPoint: 0, Wind: 2}
	in.Start = time.Date(2026, 4, 18, 9, 0, 0, 0, arizona)
	latest := compute(t, in).Window.Latest
	in.Start = latest.Time
	if p := compute(t, in); p.Verdict.Decision != plan.Go || len(p.Verdict.Instead) > 0 {
		t.Errorf("from %s: %s %v", latest, p.Verdict.Decision, p.Verdict.Reasons)
	}
	in.Start = latest.Add(5 * time.Minute)
	if p := compute(t, in); p.Verdict.Decision == plan.Go {
		t.Errorf("five minutes after the latest start the plan still goes")
	}
}

// Without a margin before sunset the last start that ends by dusk may pass.
func TestWindowCanEndWithTheLight(t *testing.T) {
	in := ordinary(t)
	in.Rules.DaylightMargin = -time.Hour
	in.Rules.ReturnFactor = 1
	w, err := plan.Window(in)
	if err != nil {
		t.Fatal(err)
	}
	if last := w.Starts[len(w.Starts)-1]; !w.Latest.Equal(last.At.Time) ||
		!strings.Contains(w.Limits[1], "in the dark") {
		t.Errorf("latest %s of %s: %q", w.Latest, last.At, w.Limits)
	}
}

// 30 % either way marks a second opinion; the two below lie well on either side.
func TestSecondOpinionsAreMarked(t *testing.T) {
	in := ordinary(t)
	in.Profile = ramp(t, 4000, 0.2)
	marked := 0
	for name, o := range compute(t, in).Time.Opinions {
		if d := math.Abs(float64(o.Difference)); d != 30 && o.Differs != (d > 30) {
			t.Errorf("%s differs by %v %%: marked %t", name, o.Difference, o.Differs)
		}
		if o.Differs {
			marked++
		}
	}
	if marked == 0 {
		t.Error("on a steep trail no rule is marked: nothing is tested")
	}
}
