package signup_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/plan"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
)

// hotPlan is eight kilometers on a hot day, back within four hours.
func hotPlan() plan.Plan {
	return plan.Plan{
		Trail: plan.Trail{Distance: 8000, Ascent: 300},
		Time:  plan.Time{P50: 3 * 3600, P90: 4 * 3600},
		Heat:  plan.Heat{PeakAir: unit.Fahrenheit(92)},
	}
}

func TestHeatStepsAndDecay(t *testing.T) {
	for _, c := range []struct {
		name   string
		of     signup.Background
		want   float64
		source string
	}{
		{"new, first day", signup.Background{}, 0.20, "NIOSH 2016-106 [F]: at most 20 % on day 1"},
		{"new, second day", signup.Background{HotDays: 1}, 0.40, "and at most 20 % more each day [F]"},
		{"new, fifth day", signup.Background{HotDays: 4}, 1.00, "20-40-60-80-100 [F]"},
		{"returning, first day", signup.Background{Returning: true}, 0.50, "NIOSH 2016-106 [F]: 50 %"},
		{"returning, second day", signup.Background{Returning: true, HotDays: 1}, 0.60, "60 % [F]"},
		{"returning, third day", signup.Background{Returning: true, HotDays: 2}, 0.80, "80 % [F]"},
		{"returning, fourth day", signup.Background{Returning: true, HotDays: 3}, 1.00, "100 % [F]"},
		{"used to it, 4 days off", signup.Background{HotDays: 5, SinceHot: 4}, 0.90,
			"Daanen 2018, 2.5 % a day [F]; ladder [C]"},
		{"used to it, 9 days off", signup.Background{HotDays: 5, SinceHot: 9}, 0.775, "the same rate [C]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := float64(c.of.HeatShare()); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("share %.3f, want %.3f (%s)", got, c.want, c.source)
			}
		})
	}
}

// More days in heat, or fewer days since, never suggest less. All shares are between 0 and 1.
func TestMoreHeatBehindNeverSuggestsLess(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := signup.Background{HotDays: rapid.IntRange(0, 13).Draw(rt, "hot"),
			Returning: rapid.Bool().Draw(rt, "returning")}
		b.SinceHot = rapid.IntRange(0, 13-b.HotDays).Draw(rt, "since")
		more, longer := b, b
		more.HotDays++
		longer.SinceHot++
		if more.HeatShare() < b.HeatShare() || longer.HeatShare() > b.HeatShare() ||
			more.UsedToHeat() < b.UsedToHeat() {
			rt.Fatalf("%+v: %v, a hot day more %v, a day longer ago %v",
				b, b.HeatShare(), more.HeatShare(), longer.HeatShare())
		}
		if s := b.HeatShare(); !(s > 0 && s <= 1) {
			rt.Fatalf("share %v", s)
		}
	})
}

func TestNewcomerOnAHotDayIsTalkedTo(t *testing.T) {
	r := signup.Background{Longest: signup.Outing{Took: 4 * time.Hour}}.Readiness(hotPlan())
	if r.HeatCap != time.Hour {
		t.Errorf("cap %s, want 20 %% of five hours", r.HeatCap)
	}
	says := strings.Join(r.Talk, " ")
	if !strings.Contains(says, "not been active in heat") || !strings.Contains(says, "shorter way") {
		t.Errorf("talk %q", says)
	}
}

func TestCoolDayAsksNothingOfHeat(t *testing.T) {
	p := hotPlan()
	p.Heat.PeakAir = unit.Fahrenheit(65)
	if r := (signup.Background{Longest: signup.Outing{Took: 4 * time.Hour}}).Readiness(p); r.HeatCap != 0 ||
		len(r.Talk) > 0 {
		t.Errorf("on a cool day: %+v", r)
	}
}

func TestLongestWalkIsSetBesideThisOne(t *testing.T) {
	used := signup.Background{HotDays: 6}
	for _, c := range []struct {
		name    string
		longest signup.Outing
		words   string
		want    string
	}{
		{"as long", signup.Outing{Took: 3 * time.Hour}, "", ""},
		{"twice and more", signup.Outing{Took: time.Hour}, "", "3.0 times their longest"},
		{"half as much again", signup.Outing{Took: 2 * time.Hour}, "", "how they felt"},
		{"by distance and climb", signup.Outing{Distance: 3 * unit.Kilometre}, "", "3.5 times"},
		{"in words", signup.Outing{}, "to the shop and back", `they say: "to the shop and back"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := used
			b.Longest, b.InTheirWords = c.longest, c.words
			says := strings.Join(b.Readiness(hotPlan()).Talk, " ")
			if (c.want == "") != (says == "") || !strings.Contains(says, c.want) {
				t.Errorf("talk %q, want ...%s...", says, c.want)
			}
		})
	}
	if r := used.Readiness(hotPlan()); len(r.Ask) == 0 {
		t.Error("an unknown longest walk is not asked for")
	}
}

func TestSignUpIsAskedForTheLastHotDay(t *testing.T) {
	for hotDays, want := range map[int]bool{0: false, 3: true} {
		asks := strings.Join(signup.ReadinessOf(signup.SignUp{HotDays: hotDays}, hotPlan()).Ask, " ")
		if strings.Contains(asks, "last day in the heat") != want {
			t.Errorf("%d hot days: asked %q", hotDays, asks)
		}
	}
}

// Readiness is not a verdict: it turns nobody away and does not mention health.
func TestReadinessIsNoVerdict(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := signup.SignUp{HotDays: rapid.IntRange(0, 14).Draw(rt, "hot"), LongestWalk: "five miles"}
		r := signup.ReadinessOf(s, hotPlan())
		says := strings.ToLower(strings.Join(append(r.Talk, r.Ask...), " "))
		for _, word := range []string{"unfit", "refuse", "must not", "diagnos", "medical", "cannot come"} {
			if strings.Contains(says, word) {
				rt.Fatalf("%q says %q", says, word)
			}
		}
	})
}
