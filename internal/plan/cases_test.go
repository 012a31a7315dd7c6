package plan_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// solve finds the argument between low and high at which a growing function passes zero.
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
		got  plan.Instant
		want time.Time
	}{ // as the case prints them, to the minute
		{"expected, on time", onTime.Return.Expected, at(10, 15)},
		{"watch, on time", onTime.Return.Watch, at(11, 21)},
		{"expected, late", late.Return.Expected, at(10, 50)},
		{"watch, late", late.Return.Watch, at(11, 56)},
		{"call, late, with the heat flag", late.Return.Call, at(12, 26)},
	} {
		if minutesApart(c.got.Time, c.want) > 1 {
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

// Trade case: 104 F and 10 % at 10:00, exposed, back by 10:20. The heat index is about 98 F
// and must not be what is judged.
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

// Trade case: 15 December at 33 N, 112 W; 1 h 40 back, start at 13:00. Sunset 17:23, so the
// latest turnaround is 17:23 - 1:00 - 1.25 x 1:40 = 14:18. The case's way out of 2 h 05 is a
// quarter longer than its way back; the walking model's ways differ by less, so the start
// that still reaches the far point is checked against the model's own way out.
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
		if minutesApart(c.got.Time, c.want) > 3 { // the case allows the sunset three minutes
			t.Errorf("%s %s, want %s", c.name, c.got.Format("15:04"), c.want.Format("15:04"))
		}
	}
	says := strings.Join(p.Verdict.Reasons, " ")
	if p.Verdict.Decision != plan.Change ||
		!strings.Contains(says, "turn early, or start by "+p.Turnaround.StartBy.Format("15:04")) {
		t.Errorf("verdict %s %q: want a change that names the turn and the start", p.Verdict.Decision, says)
	}
}

// One person alone has nobody to wait for and nobody to carry for, whatever else is asked.
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
