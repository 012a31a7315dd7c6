package plan_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/plan"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// anyInput draws a trail, a party, a date and weather; the zone fits the place.
func anyInput(t *testing.T, rt *rapid.T) plan.Input {
	in := ordinary(t)
	in.Profile = hilly(t, rt)
	in.Surface = rapid.SampledFrom(walk.Surfaces()).Draw(rt, "surface")
	in.Party = walk.Party{
		Participants: rapid.IntRange(0, 20).Draw(rt, "participants"),
		Staff:        rapid.IntRange(1, 3).Draw(rt, "staff"),
		Pace:         rapid.SampledFrom([]walk.Pace{walk.Gentle, walk.Ordinary, walk.Brisk}).Draw(rt, "pace"),
	}
	in.Acclimatized = rapid.Bool().Draw(rt, "acclimatised")
	in.Start = time.Date(2026, 1, 1, 0, 0, 0, 0, arizona).AddDate(0, 0, rapid.IntRange(0, 364).Draw(rt, "date")).
		Add(time.Duration(rapid.IntRange(0, 24*60-1).Draw(rt, "minute")) * time.Minute)
	high := rapid.Float64Range(-5, 50).Draw(rt, "high")
	in.Forecast = plan.Forecast{
		High: unit.Celsius(high), Low: unit.Celsius(max(-30, high-rapid.Float64Range(0, 22).Draw(rt, "swing"))),
		DewPoint: unit.Celsius(min(high, rapid.Float64Range(-20, 25).Draw(rt, "dew point"))),
		Wind:     unit.Speed(rapid.Float64Range(0, 30).Draw(rt, "wind")),
		Cloud:    unit.Fraction(rapid.Float64Range(0, 1).Draw(rt, "cloud")),
	}
	for range rapid.IntRange(0, 3).Draw(rt, "points") {
		share := rapid.Float64Range(0, 1).Draw(rt, "along")
		in.Points = append(in.Points, plan.Point{Name: "point", Along: in.Profile.Length * unit.Length(share)})
	}
	return in
}

func hilly(t *testing.T, rt *rapid.T) track.Profile {
	length := rapid.Float64Range(300, 9000).Draw(rt, "length")
	height := rapid.Float64Range(0, 2000).Draw(rt, "height")
	wave := rapid.Float64Range(200, 2000).Draw(rt, "wave")
	swing := rapid.Float64Range(0, 0.1).Draw(rt, "swing of the hills") * wave
	var fixes []track.Fix
	for d := 0.0; d <= length; d += 25 {
		fixes = append(fixes, track.Fix{At: unit.At(33.4+d/110_900, -112), HasElevation: true,
			Elevation: unit.Length(height + swing*math.Sin(d/wave*2*math.Pi))})
	}
	shape := rapid.SampledFrom([]track.Shape{track.OutAndBack, track.OneWay, track.Loop}).Draw(rt, "shape")
	p, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, shape)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The window against brute force: a full plan for its first and last start, a random one, and those next to a change
// of decision.
func TestWindowEqualsPlansOfEachStart(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := anyInput(t, rt)
		w, err := plan.Window(in)
		if err != nil {
			rt.Fatal(err)
		}
		if len(w.Starts) == 0 {
			return
		}
		tried := []int{0, len(w.Starts) - 1, rapid.IntRange(0, len(w.Starts)-1).Draw(rt, "start")}
		for i, s := range w.Starts {
			if next := i + 1; next < len(w.Starts) && w.Starts[next].Decision != s.Decision {
				tried = append(tried, i, next)
			}
		}
		for _, i := range tried {
			in.Start = w.Starts[i].At.Time
			p := compute(t, in)
			s := w.Starts[i]
			if p.Verdict.Decision != s.Decision || p.Heat.PeakWBGT != s.WBGT {
				rt.Fatalf("start %s: window says %s, %v C; its plan %s, %v C: %v", s.At.Format("15:04"),
					s.Decision, s.WBGT, p.Verdict.Decision, p.Heat.PeakWBGT, p.Verdict.Reasons)
			}
		}
	})
}

// The window is the run of passing starts around the best one. It is empty if and only if no start passes.
func TestWindowIsTheRunAroundTheBest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w, err := plan.Window(anyInput(t, rt))
		if err != nil {
			rt.Fatal(err)
		}
		passes := func(s plan.Start) bool { return s.Decision == plan.Go }
		if slices.ContainsFunc(w.Starts, passes) != !w.Earliest.IsZero() {
			rt.Fatalf("earliest %v although passing is %v", w.Earliest, slices.ContainsFunc(w.Starts, passes))
		}
		if w.Earliest.IsZero() {
			return
		}
		at := func(i plan.Instant) int {
			return slices.IndexFunc(w.Starts, func(s plan.Start) bool { return s.At.Equal(i.Time) })
		}
		first, best, last := at(w.Earliest), at(w.Best), at(w.Latest)
		if first < 0 || !(first <= best && best <= last) {
			rt.Fatalf("window %d, %d, %d is out of order", first, best, last)
		}
		for i := first; i <= last; i++ {
			if !passes(w.Starts[i]) {
				rt.Fatalf("start %s in the window does not pass", w.Starts[i].At)
			}
		}
		for _, beside := range []int{first - 1, last + 1} {
			if beside >= 0 && beside < len(w.Starts) && passes(w.Starts[beside]) {
				rt.Fatalf("start %s passes and is left out", w.Starts[beside].At)
			}
		}
		if len(w.Limits) != 2 {
			rt.Fatalf("limits %q, want one for each side", w.Limits)
		}
	})
}

// A start that fails on a cooler day never passes on a hotter one.
func TestHotterNeverOpensAStart(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := anyInput(t, rt)
		in.Forecast.High = min(in.Forecast.High, 50)
		a, errA := plan.Window(in)
		in.Forecast.High += unit.Temperature(rapid.Float64Range(0.5, 7).Draw(rt, "hotter"))
		b, errB := plan.Window(in)
		if errA != nil || errB != nil {
			rt.Fatal(errA, errB)
		}
		for i, s := range b.Starts {
			if s.Decision == plan.Go && a.Starts[i].Decision != plan.Go {
				rt.Fatalf("start %s: %+v, a hotter day %+v", s.At.Format("15:04"), a.Starts[i], s)
			}
		}
	})
}

// Where light is the limit, a longer, steeper or slower walk never has a later latest start.
func TestMoreWalkNeverStartsLater(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := ordinary(t)
		in.Forecast = plan.Forecast{Low: 4, High: 16, DewPoint: -4, Wind: 2}
		length := rapid.Float64Range(1000, 8000).Draw(rt, "length")
		slope := rapid.Float64Range(0, 0.2).Draw(rt, "slope")
		in.Profile = ramp(t, unit.Length(length), unit.Slope(slope))
		more := in
		switch rapid.SampledFrom([]string{"longer", "steeper", "slower"}).Draw(rt, "how") {
		case "longer":
			more.Profile = ramp(t, unit.Length(length*1.3), unit.Slope(slope))
		case "steeper":
			more.Profile = ramp(t, unit.Length(length), unit.Slope(slope+0.05))
		case "slower":
			more.Party.Pace = walk.Gentle
		}
		a, errA := plan.Window(in)
		b, errB := plan.Window(more)
		if errA != nil || errB != nil {
			rt.Fatal(errA, errB)
		}
		if b.Latest.After(a.Latest.Time) {
			rt.Fatalf("latest start %s, with more to walk %s", a.Latest.Format("15:04"), b.Latest.Format("15:04"))
		}
	})
}

// More cloud never raises the heat by more than the error of the table and the effect of a lower wind class: a tenth
// of a degree each.
func TestShadeNeverRaisesHeat(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := anyInput(t, rt)
		in.Forecast.Wind = max(2, in.Forecast.Wind)
		in.Forecast.Cloud = min(0.7, in.Forecast.Cloud)
		open := compute(t, in)
		in.Forecast.Cloud += 0.3
		if shaded := compute(t, in); shaded.Heat.PeakWBGT > open.Heat.PeakWBGT+0.2 {
			rt.Fatalf("peak %.1f C open, %.1f C under more cloud", open.Heat.PeakWBGT, shaded.Heat.PeakWBGT)
		}
	})
}

// Every valid input gives finite numbers, none below zero that must not be, none above its ceiling.
func TestEveryPlanIsSane(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := anyInput(t, rt)
		p := compute(t, in)
		b, err := json.Marshal(p) // refuses NaN and infinities
		if err != nil {
			rt.Fatal(err)
		}
		if strings.Contains(string(b), "0001-01-01") {
			rt.Fatal("a zero time is shown as a date")
		}
		if text := strings.Join(p.Verdict.Reasons, " "); strings.Contains(text, "the advice is go") {
			rt.Fatalf("a warning without a warning: %q", text)
		}
		// TB MED 507: 1.42 L an hour at most.
		if p.Water.Drink < 0 || p.Water.Drink > 1.42 || p.Water.Carry < 0 || p.Water.Reserve < 0 {
			rt.Fatalf("water %+v", p.Water)
		}
		if p.Time.P50 <= 0 || p.Time.P90 <= p.Time.P50 || p.Food.Low > p.Food.High || p.Food.Carry < 0 {
			rt.Fatalf("time %+v, food %+v", p.Time, p.Food)
		}
		if s := p.Short; s != nil &&
			(s.P90 > p.Time.P90 || s.Distance > p.Trail.Distance || s.Carry > p.Water.Carry+0.5) {
			rt.Fatalf("short option %+v is no shorter than %+v", *s, p.Time)
		}
		for _, tp := range p.Turnaround.Points {
			if tp.Because == "" || tp.At.IsZero() {
				rt.Fatalf("turn point %+v", tp)
			}
		}
	})
}

// Limits that a clock sets do not move with the start.
func TestClockLimitsDoNotMoveWithTheStart(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := anyInput(t, rt)
		a := compute(t, in)
		in.Start = in.Start.Add(time.Duration(rapid.IntRange(1, 120).Draw(rt, "later")) * time.Minute)
		b := compute(t, in)
		sameDay := a.Sun.Sunset.Equal(b.Sun.Sunset.Time)
		if sameDay && !a.Heat.OffBy.IsZero() && a.Heat.OffBy.After(in.Start) && !b.Heat.OffBy.Equal(a.Heat.OffBy.Time) {
			rt.Fatalf("off-by time %s, from a later start %s", a.Heat.OffBy, b.Heat.OffBy)
		}
	})
}

// Our judgment: 5 F. A plan that passes, but would not if the day were that much hotter, says so and is still a go.
func TestForecastErrorIsMentioned(t *testing.T) {
	in := ordinary(t)
	in.Acclimatized = true
	high := solve(20, 40, func(h float64) float64 {
		in.Forecast.High = unit.Celsius(h)
		if compute(t, in).Verdict.Decision == plan.Go {
			return -1
		}
		return 1
	})
	in.Forecast.High = unit.Celsius(high - 1)
	p := compute(t, in)
	text := strings.Join(p.Verdict.Reasons, " ")
	if p.Verdict.Decision != plan.Go ||
		!strings.Contains(text, "2.8 C (5 F) hotter than forecast, the advice is change") {
		t.Errorf("verdict %s %q: want a go that warns of a hotter day", p.Verdict.Decision, text)
	}
	in.Rules.ForecastError = 0
	if text := strings.Join(compute(t, in).Verdict.Reasons, " "); strings.Contains(text, "hotter than forecast") {
		t.Errorf("without an allowance the verdict still says %q", text)
	}
}

func BenchmarkWindow(b *testing.B) {
	in := ordinary(b)
	in.Start = time.Date(2026, 6, 20, 6, 0, 0, 0, arizona)
	in.Profile = ramp(b, 2500, 0.06)
	in.Party = walk.Party{Staff: 1, Pace: walk.Brisk}
	w, err := plan.Window(in)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := plan.Window(in); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(w.Starts)), "starts")
}

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
			text := strings.Join(p.Verdict.Instead, " ")
			if p.Verdict.Decision != c.decision || !strings.Contains(text, c.want) {
				t.Errorf("%s, instead %q: want %s with %q", p.Verdict.Decision, text, c.decision, c.want)
			}
			if c.decision == plan.Change && strings.Contains(text, "no longer cancel") {
				t.Errorf("not cancelled, and yet %q", text)
			}
		})
	}
}

// The start suggested instead of a late one is right: its plan is a go.
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

// Without a margin before sunset, the last start that ends by dusk can pass.
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

// A second opinion is marked where it differs by more than 30 % either way.
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
