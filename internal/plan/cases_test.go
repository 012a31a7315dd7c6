package plan_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// solve finds the argument between low and high at which an increasing function passes zero.
func solve(low, high float64, f func(float64) float64) float64 {
	for range 24 {
		if middle := (low + high) / 2; f(middle) > 0 {
			high = middle
		} else {
			low = middle
		}
	}
	return (low + high) / 2
}

func minutesApart(a, b time.Time) float64 { return math.Abs(a.Sub(b).Minutes()) }

// Trade case: the group leaves 35 minutes late. P50 3 h 45, spread 0.20, heat limit 10:30.
func TestLateStartMovesTimesAndNotTheLimit(t *testing.T) {
	in := ordinary(t)
	length := solve(2000, 12000, func(l float64) float64 {
		in.Profile = ramp(t, unit.Length(l), 0.06)
		return compute(t, in).Time.P50.Duration().Minutes() - 225
	})
	in.Profile = ramp(t, unit.Length(length), 0.06)
	day := time.Date(2026, 6, 6, 0, 0, 0, 0, arizona)
	at := func(hour, minute int) time.Time {
		return day.Add(time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute)
	}
	in.Start = at(6, 30)
	in.Forecast = plan.Forecast{DewPoint: 0, Wind: 2}
	high := solve(34, 46, func(h float64) float64 {
		in.Forecast.Low, in.Forecast.High = unit.Celsius(h-18), unit.Celsius(h)
		return at(10, 30).Sub(compute(t, in).Heat.OffBy.Time).Minutes()
	})
	in.Forecast.Low, in.Forecast.High = unit.Celsius(high-18), unit.Celsius(high)
	onTime := compute(t, in)
	in.Start = at(7, 5)
	late := compute(t, in)

	if !late.Heat.OffBy.Equal(onTime.Heat.OffBy.Time) || minutesApart(late.Heat.OffBy.Time, at(10, 30)) > 1 {
		t.Errorf("heat limit %s on time, %s late: want 10:30 both times", onTime.Heat.OffBy, late.Heat.OffBy)
	}
	for _, c := range []struct {
		name string
		got  time.Time
		want time.Time
	}{ // as printed in the case, to the minute
		{"likely return, on time", at(6, 30).Add(onTime.Time.P50.Duration()), at(10, 15)},
		{"late return, on time", at(6, 30).Add(onTime.Time.P90.Duration()), at(11, 21)},
		{"likely return, late start", at(7, 5).Add(late.Time.P50.Duration()), at(10, 50)},
		{"late return, late start", at(7, 5).Add(late.Time.P90.Duration()), at(11, 56)},
	} {
		if minutesApart(c.got, c.want) > 1 {
			t.Errorf("%s %s, want %s", c.name, c.got.Format("15:04"), c.want.Format("15:04"))
		}
	}
	if onTime.Verdict.Decision == plan.Go || late.Verdict.Decision == plan.Go {
		t.Errorf("verdicts %s and %s, want neither to go", onTime.Verdict.Decision, late.Verdict.Decision)
	}
	if late.Short == nil || !late.Short.Passes {
		t.Fatalf("short option %+v, want one that passes", late.Short)
	}
	if back := in.Start.Add(late.Short.P90.Duration()); back.After(late.Heat.OffBy.Time) {
		t.Errorf("the short option is back at %s, after the limit", back)
	}
}

// Trade case: 104 F and 10 % at 10:00, exposed, back by 10:20. The heat index is about 98 F, and must not be used to
// judge.
func TestHotDryForecastCancels(t *testing.T) {
	in := ordinary(t)
	in.Start = time.Date(2026, 7, 11, 7, 30, 0, 0, arizona)
	in.Profile = ramp(t, 3000, 0.02)
	in.Forecast = plan.Forecast{Low: unit.Fahrenheit(84), High: unit.Fahrenheit(112), DewPoint: 2, Wind: 2}
	for hour := 5; hour <= 20; hour++ {
		at := time.Date(2026, 7, 11, hour, 0, 0, 0, arizona)
		air := unit.Fahrenheit(104 - 4*math.Abs(float64(hour-10)))
		in.Forecast.Hourly = append(in.Forecast.Hourly, plan.HourlyAir{At: at, Air: air, DewPoint: 2, Wind: 2})
	}
	p := compute(t, in)
	if p.Verdict.Decision != plan.Cancel {
		t.Errorf("verdict %s %v, want cancel", p.Verdict.Decision, p.Verdict.Reasons)
	}
	for _, h := range p.Heat.Hours {
		if h.At.Hour() != 10 {
			continue
		}
		if math.Abs(h.Air.Fahrenheit()-104) > 0.1 || math.Abs(h.HeatIndex.Fahrenheit()-98) > 1.5 {
			t.Errorf("at 10:00 air %.1f F, index %.1f F; want 104 and about 98",
				h.Air.Fahrenheit(), h.HeatIndex.Fahrenheit())
		}
	}
	if !strings.Contains(p.Verdict.Reasons[0], "ladder") || !strings.Contains(p.Verdict.Reasons[0], "(10") {
		t.Errorf("first reason %q does not name the ladder and a felt heat from 100 F", p.Verdict.Reasons[0])
	}
}

// Trade case: the edges of the rating.
func TestRatingEdges(t *testing.T) {
	for _, c := range []struct {
		name     string
		miles    unit.Length
		climb    unit.Length // feet
		steepest unit.Slope
		want     track.Class
		raised   bool
	}{
		{"exactly 50", 2.5, 500, 0.1, track.Moderate, false},
		{"exactly 100", 5, 1000, 0.1, track.ModeratelyStrenuous, false},
		{"short and steep, 36.28", 1.4, 470, 0.28, track.Moderate, true},
		{"long", 10, 2200, 0.1, track.VeryStrenuous, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := ordinary(t)
			in.Profile.Shape = track.OneWay
			in.Profile.Length, in.Profile.Ascent, in.Profile.Steepest = c.miles*unit.Mile, c.climb*unit.Foot, c.steepest
			got := compute(t, in).Trail.Rating
			if got.Class != c.want || (got.Raised != "") != c.raised {
				t.Errorf("rated %+v, want %s", got, c.want)
			}
		})
	}
}

// Trade case: 15 December at 33 N, 112 W; 1 h 40 back, start at 13:00. Sunset 17:23, so the latest turnaround is
// 17:23 - 1:00 - 1.25 x 1:40 = 14:18. In the case the way out takes 2 h 05, a quarter longer than the way back. In
// the walking model they differ by less, so the latest start is checked against the model's own way out.
func TestDecemberTurnaround(t *testing.T) {
	in := ordinary(t)
	in.Forecast = plan.Forecast{Low: 4, High: 16, DewPoint: -4, Wind: 2}
	in.Start = time.Date(2026, 12, 15, 13, 0, 0, 0, arizona)
	of := func(length float64) plan.Plan {
		in.Profile = ramp(t, unit.Length(length), 0.2)
		in.Points = []plan.Point{{Name: "far point", Along: in.Profile.Far()}}
		return compute(t, in)
	}
	out := func(p plan.Plan) time.Duration { return p.Time.Points[0].P50.Sub(in.Start) }
	p := of(solve(1000, 8000, func(l float64) float64 {
		p := of(l)
		return (p.Time.P50.Duration() - out(p)).Minutes() - 100
	}))
	at := func(hour, minute int) time.Time { return time.Date(2026, 12, 15, hour, minute, 0, 0, arizona) }
	for _, c := range []struct {
		name string
		got  plan.Instant
		want time.Time
	}{
		{"sunset", p.Sun.Sunset, at(17, 23)},
		{"turnaround", p.Turnaround.At, at(14, 18)},
		{"latest at the far point", p.Turnaround.Points[0].At, at(14, 18)},
		{"start by", p.Turnaround.StartBy, at(14, 18).Add(-out(p))},
	} {
		if minutesApart(c.got.Time, c.want) > 3 { // the case allows three minutes for the sunset
			t.Errorf("%s %s, want %s", c.name, c.got.Format("15:04"), c.want.Format("15:04"))
		}
	}
	text := strings.Join(p.Verdict.Reasons, " ")
	if p.Verdict.Decision != plan.Change ||
		!strings.Contains(text, "turn early, or start by "+p.Turnaround.StartBy.Format("15:04")) {
		t.Errorf("verdict %s %q: want a change that names the turn and the start", p.Verdict.Decision, text)
	}
}

// One person alone waits for nobody and carries nothing for others.
func TestAloneEverywhere(t *testing.T) {
	in := ordinary(t)
	in.Party = walk.Party{Participants: 1, Pace: walk.Ordinary}
	p := compute(t, in)
	if p.Water.Reserve != 0 {
		t.Errorf("group reserve of %v L for one person", p.Water.Reserve)
	}
	if o := p.Time.Opinions[plan.ToblerOpinion]; o.Differs {
		t.Errorf("one person on a plain path differs from Tobler by %v %%", o.Difference)
	}
}

// A place with water is counted on only if the organization confirmed it lately.
func TestRefillsAreOffUnlessConfirmed(t *testing.T) {
	in := ordinary(t)
	dry := compute(t, in)
	half := in.Profile.Far()
	for _, c := range []struct {
		name    string
		seen    time.Time
		counted bool
		text    string
	}{
		{"never confirmed", time.Time{}, false, "There may be water here: never rely on it"},
		{"confirmed last week", in.Start.AddDate(0, 0, -7), true, "Never rely on it alone"},
		{"confirmed last season", in.Start.AddDate(0, 0, -31), false, "never rely on it"},
		{"confirmed after the hike", in.Start.AddDate(0, 0, 1), false, "never rely on it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in.Points = []plan.Point{{Name: "Tank", Along: half, Water: true, WaterSeen: c.seen},
				{Name: "Gate", Along: 10}}
			w := compute(t, in).Water
			if len(w.Refills) != 1 || w.Refills[0].Counted != c.counted ||
				!strings.Contains(w.Refills[0].Note, c.text) {
				t.Fatalf("refills %+v, want one counted %t that says %q", w.Refills, c.counted, c.text)
			}
			if w.WithoutRefills != dry.Water.Carry || (w.Carry < dry.Water.Carry) != c.counted ||
				(w.Refills[0].Carry > 0) != c.counted {
				t.Errorf("carry %v L, %v without refills, %v from it; a dry way %v",
					w.Carry, w.WithoutRefills, w.Refills[0].Carry, dry.Water.Carry)
			}
			if w.Bottles != supply.Bottles(w.Carry) {
				t.Errorf("bottles %q for %v L", w.Bottles, w.Carry)
			}
		})
	}
}

// Larger bodies never need less water, and the remark on the load never says to leave water.
func TestSizesAndLoad(t *testing.T) {
	in := ordinary(t)
	in.Profile = ramp(t, 12_000, 0.05)
	in.Forecast.High = 33
	in.Rules.BodyMass = 50
	w := compute(t, in).Water
	for i := 1; i < len(w.Sizes); i++ {
		if w.Sizes[i].Carry < w.Sizes[i-1].Carry || w.Sizes[i].Body <= w.Sizes[i-1].Body {
			t.Errorf("sizes %+v do not grow", w.Sizes)
		}
	}
	if len(w.Sizes) < 3 || w.Load.Share < 20 || !strings.Contains(w.Load.Remark, "Do not leave water") {
		t.Errorf("sizes %+v, load %+v: want three and a warning that leaves the water", w.Sizes, w.Load)
	}
}

// Common practice, no source: in moderate conditions (load, speed, trail and warmth) half a liter to a liter of water
// and 100 to 200 kcal an hour, the upper ends where any of them is harder; a liter and a few hundred kcal before the
// trail; a drink and a bite every half hour.
func TestCommonPractice(t *testing.T) {
	base := ordinary(t)
	p := compute(t, base)
	if d := p.Water.Drink; d < 0.5 || d > 1 {
		t.Errorf("moderate day: %v L/h, want 0.5 to 1", d)
	}
	perHour := func(p plan.Plan) float64 { return p.Food.Carry.Kilocalories() / p.Time.P90.Duration().Hours() }
	if e := perHour(p); p.Food.Low < 100 || p.Food.High > 200 || e < 100 {
		t.Errorf("moderate day: %v to %v kcal/h, %v carried, want within 100 to 200", p.Food.Low, p.Food.High, e)
	}
	for name, harder := range map[string]func(*plan.Input){
		"load":  func(in *plan.Input) { in.Rules.Load += 12 },
		"speed": func(in *plan.Input) { in.Party.Pace = walk.Brisk },
		"trail": func(in *plan.Input) {
			in.Surface = walk.LooseSand
			in.Profile = ramp(t, 4000, 0.12)
		},
		"heat": func(in *plan.Input) {
			in.Start = in.Start.Add(3 * time.Hour)
			in.Forecast.High = 34
		},
	} {
		t.Run("harder by "+name, func(t *testing.T) {
			in := base
			harder(&in)
			h := compute(t, in)
			const packed = 50 // food is packed in steps of 50 kcal
			if h.Water.Drink < p.Water.Drink || perHour(h) < perHour(p)-packed/h.Time.P90.Duration().Hours() {
				t.Errorf("%v L/h and %.0f kcal/h, less than %v and %.0f",
					h.Water.Drink, perHour(h), p.Water.Drink, perHour(p))
			}
		})
	}
	if p.Water.BeforeStart < 1 || p.Food.BeforeStart < 200 {
		t.Errorf("before the trail %v L and %v kcal, want at least 1 and a few hundred",
			p.Water.BeforeStart, p.Food.BeforeStart)
	}
	stops, err := supply.Clock(base.Start, p.Time.P90.Duration())
	if err != nil || len(stops) < 2 || stops[1].Sub(stops[0]) != 30*time.Minute {
		t.Errorf("stops %v, %v: want one every half hour", stops, err)
	}
}

// Common practice, no source: speed is pace times stride; the pace is kept and the stride is shorter uphill, longer
// on the level and downhill; six, four or two steps a breath as the work gets harder.
func TestPaceCardFollowsCommonPractice(t *testing.T) {
	p := compute(t, ordinary(t)).Time.Pace
	if p.Up >= p.Level || p.Down < p.Up || p.Beat <= 0 {
		t.Errorf("card %+v: want the shortest stride uphill", p)
	}
	card, err := walk.NewCard(walk.Ordinary, 0.25, -0.1)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(card.Level.Breathing, "six") || !strings.Contains(card.Up.Breathing, "two") {
		t.Errorf("breathing %q on the level and %q on a steep climb, want six and two paces",
			card.Level.Breathing, card.Up.Breathing)
	}
	for _, s := range []struct {
		name  string
		step  unit.Length
		speed unit.Speed
	}{{"level", card.Level.Step, card.Level.Speed}, {"up", card.Up.Step, card.Up.Speed},
		{"down", card.Down.Step, card.Down.Speed}} {
		if got := float64(s.step) * float64(card.Beat) / 60; got < 0.99*float64(s.speed) ||
			got > 1.01*float64(s.speed) {
			t.Errorf("%s: %d steps a minute of %v m make %.3f m/s, want %v", s.name, card.Beat, s.step, got, s.speed)
		}
	}
}

// Trade case: five hours in 93 F. A plan never asks for more than the ceiling, and if it needs more than a liter an
// hour it asks for another route.
func TestTooMuchWaterEndToEnd(t *testing.T) {
	in := ordinary(t)
	in.Start = time.Date(2026, 5, 9, 9, 0, 0, 0, arizona)
	in.Forecast = plan.Forecast{Low: unit.Fahrenheit(70), High: unit.Fahrenheit(93), DewPoint: 2, Wind: 2}
	length := solve(2000, 9000, func(l float64) float64 {
		in.Profile = ramp(t, unit.Length(l), 0.05)
		return compute(t, in).Time.P90.Duration().Hours() - 5
	})
	in.Profile = ramp(t, unit.Length(length), 0.05)
	p := compute(t, in)
	if p.Water.Drink > supply.MaxDrinking {
		t.Errorf("the plan itself asks for %v L/h", p.Water.Drink)
	}
	asks := strings.Contains(strings.Join(p.Verdict.Reasons, " "), "too long or too hot")
	if over := p.Water.Drink > in.Rules.LongDrinking; over != asks {
		t.Errorf("%v L/h, said to be too long %t", p.Water.Drink, asks)
	}
}

// Trade case: two people have 1.0 L each and 3.0 L are spare. Each needs what the plan says to carry, for the whole
// route and for the short one.
func TestNotEnoughWaterEndToEnd(t *testing.T) {
	in := ordinary(t)
	in.Profile = ramp(t, 5000, 0.06)
	in.Points = []plan.Point{{Name: "Notch Junction", Along: in.Profile.Far() * 6 / 10}}
	in.Profile.Shape = track.OutAndBack
	p := compute(t, in)
	if p.Short == nil || p.Short.Carry >= p.Water.Carry {
		t.Fatalf("short option %+v of a route that needs %v L", p.Short, p.Water.Carry)
	}
	for name, need := range map[string]unit.Volume{"whole": p.Water.Carry, "short": p.Short.Carry} {
		s, err := party.Share([]party.Walker{{Name: "A", Holds: 1, Need: need}, {Name: "B", Holds: 1, Need: need}}, 3)
		if err != nil {
			t.Fatal(err)
		}
		able := len(s.Go)
		want := min(2, int(3/max(float64(need)-1, 0.01)))
		if able != want {
			t.Errorf("%s route of %v L each: %d may go, want %d", name, need, able, want)
		}
	}
}
