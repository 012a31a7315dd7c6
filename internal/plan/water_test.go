package plan_test

import (
	"strings"
	"testing"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/supply"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// A place with water is counted on only where the house confirmed it lately.
func TestRefillsAreOffUnlessConfirmed(t *testing.T) {
	in := ordinary(t)
	dry := compute(t, in)
	half := in.Profile.Far()
	for _, c := range []struct {
		name    string
		seen    time.Time
		counted bool
		says    string
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
				!strings.Contains(w.Refills[0].Note, c.says) {
				t.Fatalf("refills %+v, want one counted %t that says %q", w.Refills, c.counted, c.says)
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

// Larger bodies need no less, and the load says never to leave water.
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

// Common practice, no source: in moderate conditions (load, speed, trail and warmth) half a
// litre to a litre of water and 100 to 200 kcal an hour, the upper ends where any of them is
// harder; a litre and a few hundred kcal before the trail; a drink and a bite every half
// hour.
func TestFactsOfTheTrade(t *testing.T) {
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

// Common practice, no source: speed is pace times stride; the pace is kept and the stride is
// shorter uphill, longer on the level and downhill; six, four or two steps a breath as the
// work grows.
func TestPaceCardOfTheTrade(t *testing.T) {
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

// Trade case: five hours in 93 F. A plan never asks for more than the ceiling, and one that
// needs more than a litre an hour asks for another route.
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

// Trade case: two people have 1.0 L each and 3.0 L are spare. What each needs is what the
// plan says to carry, for the whole route and for the short one.
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
		s, err := supply.Share([]supply.Walker{{Name: "A", Holds: 1, Need: need}, {Name: "B", Holds: 1, Need: need}}, 3)
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
