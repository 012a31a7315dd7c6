package plan_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// On a way that ends elsewhere nobody turns: there is no turnaround, and what holds is when
// to be off the trail.
func TestOneWayHasNoTurnaround(t *testing.T) {
	in := ordinary(t)
	there := in.Profile
	in.Profile.Shape, in.Profile.Length = track.OneWay, there.Length/2
	in.Points = []plan.Point{{Name: "Quarter", Along: in.Profile.Length / 4},
		{Name: "Late", Along: in.Profile.Length * 9 / 10}}
	p := compute(t, in)
	if !p.Turnaround.At.IsZero() || p.Turnaround.Because != "" {
		t.Errorf("turnaround %s because of %q, want none", p.Turnaround.At, p.Turnaround.Because)
	}
	b, err := json.Marshal(p.Turnaround)
	if err != nil || !strings.Contains(string(b), `"at":null`) {
		t.Errorf("%s, %v: want a turnaround of null", b, err)
	}
	if want := p.Sun.Sunset.Add(-in.House.DaylightMargin).Truncate(time.Minute); !p.Turnaround.OffTrail.Equal(want) ||
		!strings.HasPrefix(p.Turnaround.OffTrailBecause, "daylight") {
		t.Errorf("off the trail by %s because of %q, want %s by daylight",
			p.Turnaround.OffTrail, p.Turnaround.OffTrailBecause, want)
	}
	// Water is no reason to turn where going on is the way home.
	if late := p.Turnaround.Points[1]; strings.HasPrefix(late.Because, "water") {
		t.Errorf("turn at %+v", late)
	}
	in.Forecast.High = 40
	if hot := compute(t, in); !strings.HasPrefix(hot.Turnaround.OffTrailBecause, "heat") ||
		!hot.Turnaround.OffTrail.Equal(hot.Heat.OffBy.Truncate(time.Minute)) {
		t.Errorf("on a hot day off by %s because of %q, want %s by heat",
			hot.Turnaround.OffTrail, hot.Turnaround.OffTrailBecause, hot.Heat.OffBy)
	}
	in.Profile = there
	if back := compute(t, in); back.Turnaround.At.IsZero() {
		t.Error("an out-and-back way has no turnaround")
	}
}

// NIOSH 2016-106: the two limits are two, whoever walks.
func TestBothLimitsAreTold(t *testing.T) {
	in := ordinary(t)
	for _, used := range []bool{false, true} {
		in.Acclimatised = used
		h := compute(t, in).Heat
		want := map[bool]unit.Temperature{false: h.AlertLimit, true: h.ExposureLimit}[used]
		if h.Limit != want || h.AlertLimit >= h.ExposureLimit {
			t.Errorf("used to heat %t: limit %v of %v and %v", used, h.Limit, h.AlertLimit, h.ExposureLimit)
		}
	}
}
