package plan_test

import (
	"strings"
	"testing"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// The card is that of the walking package for the mean slopes, which on a ramp are its own.
func TestPaceCardIsForTheTrailsSlopes(t *testing.T) {
	in := ordinary(t)
	in.Profile = ramp(t, 4000, 0.15)
	card, err := walk.NewCard(in.Party.Pace, 0.15, 0.15)
	if err != nil {
		t.Fatal(err)
	}
	got := compute(t, in).Time.Pace
	for _, c := range []struct {
		name      string
		got, want unit.Length
	}{{"level", got.Level, card.Level.Step}, {"up", got.Up, card.Up.Step}, {"down", got.Down, card.Down.Step}} {
		if d := c.got - c.want; d > 0.006 || d < -0.006 { // rounded to a centimetre
			t.Errorf("stride %s %.3f m, want %.3f", c.name, c.got, c.want)
		}
	}
	if got.Beat != card.Beat {
		t.Errorf("%d steps a minute, want %d", got.Beat, card.Beat)
	}
}

func TestStartsAreOnTheFiveMinutes(t *testing.T) {
	w, err := plan.Window(ordinary(t))
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range w.Starts {
		if s.At.Minute()%5 != 0 || s.At.Second() != 0 || i > 0 && s.At.Sub(w.Starts[i-1].At.Time) != 5*time.Minute {
			t.Errorf("start %d is at %s", i, s.At.Format("15:04:05"))
		}
	}
}

// Common practice: half the water, which is carried for P90; told to the minute, never later.
func TestTurnaroundByWaterIsHalfOfP90(t *testing.T) {
	in := ordinary(t)
	p := compute(t, in)
	half := in.Start.Add(p.Time.P90.Duration() / 2)
	if at := p.Turnaround.At.Time; !strings.HasPrefix(p.Turnaround.Because, "water") || at.After(half) ||
		half.Sub(at) > time.Minute+time.Second {
		t.Errorf("turn at %s because of %q, want by %s for the water", at, p.Turnaround.Because, half)
	}
}

func TestHotterDayThatStillGoesIsNotMentioned(t *testing.T) {
	in := ordinary(t)
	// muggy: the alert limit comes before the ladder
	in.Forecast.Low, in.Forecast.DewPoint, in.Forecast.Wind = 14, 13, 1
	in.Start = in.Start.Add(3 * time.Hour)
	for high := unit.Temperature(14); high < 30; high += 0.5 {
		in.Forecast.High = high
		if says := strings.Join(compute(t, in).Verdict.Reasons, " "); strings.Contains(says, "the advice is go") {
			t.Errorf("high %v C: %q", high, says)
		}
	}
}
