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

// far is a level way at a latitude.
func far(t *testing.T, latitude float64, length unit.Length) track.Profile {
	t.Helper()
	var fixes []track.Fix
	for d := unit.Length(0); d <= length; d += 50 {
		fixes = append(fixes,
			track.Fix{At: unit.At(latitude+d.Metres()/111_500, 20), Elevation: 100, HasElevation: true})
	}
	p, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OutAndBack)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestDaysWithoutSunriseOrSunsetArePlanned(t *testing.T) {
	in := ordinary(t)
	in.Profile = far(t, 70, 3000)
	in.Forecast = plan.Forecast{Low: 5, High: 12, DewPoint: 0, Wind: 2}
	zone := time.FixedZone("UTC+1", 3600)
	in.Start = time.Date(2026, 6, 21, 10, 0, 0, 0, zone)
	if p := compute(t, in); p.Verdict.Decision != plan.Go || !p.Sun.Sunset.IsZero() || len(p.Window.Starts) < 200 {
		t.Errorf("midsummer: %s %v, sunset %s, %d starts", p.Verdict.Decision, p.Verdict.Reasons, p.Sun.Sunset,
			len(p.Window.Starts))
	}
	in.Start = time.Date(2026, 12, 21, 10, 0, 0, 0, zone)
	p := compute(t, in)
	if p.Verdict.Decision != plan.Change || !strings.Contains(p.Verdict.Reasons[0], "does not rise") {
		t.Errorf("midwinter: %s %v, want a change for the missing sun", p.Verdict.Decision, p.Verdict.Reasons)
	}
}

func TestWalkLongerThanTheLightHasNoStart(t *testing.T) {
	in := ordinary(t)
	in.Profile = far(t, 33.4, 39_000)
	in.Start = time.Date(2026, 12, 15, 6, 0, 0, 0, time.FixedZone("UTC+1", 3600))
	in.Forecast = plan.Forecast{Low: 4, High: 16, DewPoint: -4, Wind: 2}
	p := compute(t, in)
	if len(p.Window.Starts) != 0 || !p.Window.Earliest.IsZero() || len(p.Window.Limits) != 1 {
		t.Errorf("window %+v, want none and its reason", p.Window)
	}
	if p.Short == nil || !p.Short.Passes {
		t.Errorf("short option %+v, want one that passes", p.Short)
	}
}

// On a summer day whose dawn is at the ladder's first step, starts with care are offered.
func TestStartsWithCareAreOffered(t *testing.T) {
	w := compute(t, hotMorning(t)).Window
	if !w.Earliest.IsZero() || w.Care == nil {
		t.Fatalf("window %s to %s, with care %+v: want care alone", w.Earliest, w.Latest, w.Care)
	}
	for _, s := range w.Starts {
		within := !s.At.Before(w.Care.Earliest.Time) && !s.At.After(w.Care.Latest.Time)
		// House ladder: 95 F is the second step.
		if within && s.Felt >= unit.Fahrenheit(95) {
			t.Errorf("start %s with care meets %.1f C", s.At.Format("15:04"), s.Felt)
		}
	}
}

// The short option's figures are those of the same trail drawn only so far.
func TestShortOptionIsThatOfAShorterTrail(t *testing.T) {
	in := hotMorning(t)
	s := compute(t, in).Short
	if s == nil || !s.Passes {
		t.Fatalf("short option %+v, want one that passes", s)
	}
	in.Points, in.Profile = nil, ramp(t, s.Turn, 0.06)
	p := compute(t, in)
	if got, want := float64(s.P50), float64(p.Time.P50); math.Abs(got-want) > 0.02*want || s.Carry != p.Water.Carry {
		t.Errorf("short option takes %v s and %v L, the shorter trail %v s and %v L",
			s.P50, s.Carry, p.Time.P50, p.Water.Carry)
	}
}

// A named point near the farthest passing turn is offered in its place.
func TestShortOptionPrefersAName(t *testing.T) {
	in := hotMorning(t)
	at := compute(t, in).Short.Turn
	in.Points = append(in.Points, plan.Point{Name: "Lone Palo Verde", Along: at * 0.9})
	if s := compute(t, in).Short; s.Name != "Lone Palo Verde" || !s.Passes {
		t.Errorf("short option %+v, want the named point", *s)
	}
}

// Loops and one-way walks are cut short by turning back, never beyond their half.
func TestLoopIsCutShortByTurningBack(t *testing.T) {
	in := hotMorning(t)
	in.Profile.Shape = track.Loop
	in.Profile.Length /= 2
	in.Points = in.Points[:1]
	in.Start = in.Start.Add(2 * time.Hour)
	if s := compute(t, in).Short; s == nil || s.Distance > in.Profile.Length {
		t.Errorf("short option %+v of a loop of %.0f m", s, in.Profile.Length.Metres())
	}
}

func TestPartyThatNoTrailHoldsIsRefusedByName(t *testing.T) {
	in := ordinary(t)
	in.Party = walk.Party{Participants: 150, Staff: 60}
	if _, err := plan.Compute(in); err == nil || !strings.Contains(err.Error(), "party") {
		t.Errorf("got %v, want a fault of the party", err)
	}
}
