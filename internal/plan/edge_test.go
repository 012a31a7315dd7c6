package plan_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// far is a level trail at a latitude.
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

// On a summer day that begins on the first step of the ladder, the plan offers starts with care.
func TestStartsWithCareAreOffered(t *testing.T) {
	w := compute(t, hotMorning(t)).Window
	if !w.Earliest.IsZero() || w.Care == nil {
		t.Fatalf("window %s to %s, with care %+v: want care alone", w.Earliest, w.Latest, w.Care)
	}
	for _, s := range w.Starts {
		within := !s.At.Before(w.Care.Earliest.Time) && !s.At.After(w.Care.Latest.Time)
		// 95 F is the second step of the ladder.
		if within && s.Felt >= unit.Fahrenheit(95) {
			t.Errorf("start %s with care meets %.1f C", s.At.Format("15:04"), s.Felt)
		}
	}
}

// The figures of the short option are those of the same trail, cut at the turn.
func TestShortOptionEqualsAShorterTrail(t *testing.T) {
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

// A named point near the farthest passing turn replaces it.
func TestShortOptionPrefersAName(t *testing.T) {
	in := hotMorning(t)
	at := compute(t, in).Short.Turn
	in.Points = append(in.Points, plan.Point{Name: "Lone Palo Verde", Along: at * 0.9})
	if s := compute(t, in).Short; s.Name != "Lone Palo Verde" || !s.Passes {
		t.Errorf("short option %+v, want the named point", *s)
	}
}

// Loops and one-way walks are cut short by turning back, never past the middle.
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

func TestTooLargePartyIsRefusedByName(t *testing.T) {
	in := ordinary(t)
	in.Party = walk.Party{Participants: 150, Staff: 60}
	if _, err := plan.Compute(in); err == nil || !strings.Contains(err.Error(), "party") {
		t.Errorf("got %v, want a fault of the party", err)
	}
}

// When clocks change, a plan has the same instants as in a zone with a fixed offset. Only the clock times that people
// see differ.
func TestClockChangesMoveNoInstant(t *testing.T) {
	denver, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	hour := 3600
	tests := []struct {
		name  string
		start time.Time
		still *time.Location // the zone's offset for most of that day
		shown string         // the zone in which the watch time is shown
	}{
		{"clocks put forward before the start", time.Date(2026, 3, 8, 7, 0, 0, 0, denver),
			time.FixedZone("MDT", -6*hour), "MDT"},
		{"clocks put back before the start", time.Date(2026, 11, 1, 7, 0, 0, 0, denver), time.FixedZone("MST", -7*hour),
			"MST"},
		{"clocks put forward on the way", time.Date(2026, 3, 8, 1, 0, 0, 0, denver), time.FixedZone("MDT", -6*hour),
			"MDT"},
		{"clocks put back on the way", time.Date(2026, 11, 1, 1, 15, 0, 0, denver), time.FixedZone("MST", -7*hour),
			"MST"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			in := ordinary(t)
			in.Points = []plan.Point{{Name: "Notch", Along: in.Profile.Far() / 2}}
			in.Start = tt.start
			changed := compute(t, in)
			in.Start = tt.start.In(tt.still)
			if in.Start.YearDay() != tt.start.YearDay() {
				t.Fatalf("the day differs: %s and %s", in.Start, tt.start)
			}
			still := compute(t, in)
			for _, one := range []struct {
				what      string
				got, want plan.Instant
			}{
				{"turnaround", changed.Turnaround.At, still.Turnaround.At},
				{"turnaround at Notch", changed.Turnaround.Points[0].At, still.Turnaround.Points[0].At},
				{"sunset", changed.Sun.Sunset, still.Sun.Sunset},
				{"Notch", changed.Time.Points[0].P90, still.Time.Points[0].P90},
			} {
				if !one.got.Equal(one.want.Time) {
					t.Errorf("%s at %s, want the instant of %s", one.what, one.got.Time, one.want.Time)
				}
			}
			if name, _ := changed.Turnaround.At.Zone(); name != tt.shown {
				t.Errorf("the turnaround is shown in %s, want %s", name, tt.shown)
			}
		})
	}
}

// On a one-way walk nobody turns back: there is no turnaround, only a time to be off the trail.
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
	if want := p.Sun.Sunset.Add(-in.Rules.DaylightMargin).Truncate(time.Minute); !p.Turnaround.OffTrail.Equal(want) ||
		!strings.HasPrefix(p.Turnaround.OffTrailBecause, "daylight") {
		t.Errorf("off the trail by %s because of %q, want %s by daylight",
			p.Turnaround.OffTrail, p.Turnaround.OffTrailBecause, want)
	}
	// Water is no reason to turn back where the way home is straight on.
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

// NIOSH 2016-106: both limits are shown to everybody.
func TestBothLimitsAreShown(t *testing.T) {
	in := ordinary(t)
	for _, used := range []bool{false, true} {
		in.Acclimatized = used
		h := compute(t, in).Heat
		want := map[bool]unit.Temperature{false: h.AlertLimit, true: h.ExposureLimit}[used]
		if h.Limit != want || h.AlertLimit >= h.ExposureLimit {
			t.Errorf("used to heat %t: limit %v of %v and %v", used, h.Limit, h.AlertLimit, h.ExposureLimit)
		}
	}
}

func TestPlacesArePassedAgainOnTheWayBack(t *testing.T) {
	in := ordinary(t)
	far := in.Profile.Far()
	in.Points = []plan.Point{{Name: "Sign", Along: 0}, {Name: "Notch", Along: far / 3}, {Name: "Rim", Along: far}}
	points := compute(t, in).Time.Points
	if in.Profile.Shape != track.OutAndBack {
		t.Fatalf("the ordinary walk is %s, this test needs one that comes back", in.Profile.Shape)
	}
	if !points[0].BackP50.IsZero() || !points[2].BackP50.IsZero() {
		t.Errorf("the start and the far point are passed again: %v, %v", points[0].BackP50, points[2].BackP50)
	}
	notch, rim := points[1], points[2]
	if !(notch.P50.Before(rim.P50.Time) && rim.P50.Before(notch.BackP50.Time) &&
		notch.BackP50.Before(notch.BackP90.Time)) {
		t.Errorf("notch %v, rim %v, notch again %v to %v are out of order",
			notch.P50, rim.P50, notch.BackP50, notch.BackP90)
	}
	in.Profile.Shape, in.Profile.Length = track.OneWay, in.Profile.Length/2
	for _, p := range compute(t, in).Time.Points {
		if !p.BackP50.IsZero() {
			t.Errorf("%s is passed again on a walk that does not come back", p.Name)
		}
	}
}

// hourly is the ordinary day with hourly lines from 4:00 to 21:00, all of one temperature.
func hourly(t *testing.T, air unit.Temperature) plan.Input {
	in := ordinary(t)
	for hour := 4; hour <= 21; hour++ {
		at := time.Date(2026, 4, 18, hour, 0, 0, 0, arizona)
		in.Forecast.Hourly = append(in.Forecast.Hourly,
			plan.HourlyAir{At: at, Air: air, DewPoint: 0, Wind: 2, Cloud: 0.1})
	}
	return in
}

func TestHourlyLinesReplaceTheCourse(t *testing.T) {
	in := hourly(t, 20)
	in.Forecast.Hourly[4].Air = 24 // 8:00
	for _, h := range compute(t, in).Heat.Hours {
		want := unit.Celsius(20)
		if h.At.Hour() == 8 {
			want = 24
		}
		if h.At.Hour() >= 4 && math.Abs(float64(h.Air-want)) > 0.05 {
			t.Errorf("air at %s is %.1f C, want the line's %.1f", h.At.Format("15:04"), h.Air, want)
		}
	}
}

func TestHourlyCloudDecidesOnTheSun(t *testing.T) {
	bright, covered := hourly(t, 26), hourly(t, 26)
	for i := range covered.Forecast.Hourly {
		covered.Forecast.Hourly[i].Cloud = 1
	}
	a, b := compute(t, bright), compute(t, covered)
	if a.Water.Drink <= b.Water.Drink || a.Heat.PeakWBGT <= b.Heat.PeakWBGT {
		t.Errorf("under a full cover %v L/h at %v C, under the sun %v L/h at %v C",
			b.Water.Drink, b.Heat.PeakWBGT, a.Water.Drink, a.Heat.PeakWBGT)
	}
}

func TestHourlyFaultsAreNamed(t *testing.T) {
	for _, c := range []struct {
		name          string
		spoil         func([]plan.HourlyAir) []plan.HourlyAir
		field, reason string
	}{
		{"gap", func(h []plan.HourlyAir) []plan.HourlyAir { return append(h[:5], h[6:]...) }, "hourly",
			"09:00 is missing"},
		{"twice", func(h []plan.HourlyAir) []plan.HourlyAir {
			h[3].At = h[2].At
			return h
		}, "hourly 06:00", "does not come after"},
		{"one line", func(h []plan.HourlyAir) []plan.HourlyAir { return h[:1] }, "hourly", "one line"},
		{"Fahrenheit typed as Celsius", func(h []plan.HourlyAir) []plan.HourlyAir {
			h[8].Air = 95
			return h
		}, "hourly 12:00 air", "95 C"},
		{"NaN wind", func(h []plan.HourlyAir) []plan.HourlyAir {
			h[8].Wind = unit.Speed(math.NaN())
			return h
		}, "hourly 12:00 wind", "NaN"},
		{"too wet", func(h []plan.HourlyAir) []plan.HourlyAir {
			h[8].DewPoint = 25
			return h
		}, "hourly 12:00 dew point", "above the air"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := hourly(t, 20)
			in.Forecast.Hourly = c.spoil(in.Forecast.Hourly)
			_, err := plan.Compute(in)
			var fault *plan.InputError
			if !errors.As(err, &fault) || fault.Field != c.field || !strings.Contains(fault.Reason, c.reason) {
				t.Errorf("got %v, want %s: ...%s...", err, c.field, c.reason)
			}
		})
	}
}

func TestPointsOffTheTrailAreRefused(t *testing.T) {
	in := ordinary(t)
	in.Points = []plan.Point{{Name: "Nowhere", Along: in.Profile.Length + 1}}
	_, err := plan.Compute(in)
	var fault *plan.InputError
	if !errors.As(err, &fault) || fault.Field != "points" || !strings.Contains(fault.Reason, "Nowhere") {
		t.Errorf("got %v, want a fault of points that names Nowhere", err)
	}
}

// promised stands for the times that a case adds to a plan.
func promised(p plan.Plan) *plan.Return {
	at := p.Window.Best
	return &plan.Return{Expected: at, Latest: at, Watch: at, Call: at}
}

// The keys are part of every stored plan: new ones may be added, none renamed. The list is a golden of our own making.
func TestKeysAreStable(t *testing.T) {
	p := compute(t, hotMorning(t))
	p.Return = promised(p)
	keys := keysOf(t, p)
	for _, want := range strings.Fields(`model trail.distance_m trail.ascent_m trail.descent_m trail.lowest_m
		trail.highest_m trail.steepest_percent trail.rating.number trail.rating.class time.moving_p50_s time.breaks_s
		time.p50_s time.p90_s time.points[].name time.points[].at_m time.points[].p50 time.points[].p90
		time.points[].back_p50 time.points[].back_p90 time.pace.steps_per_min time.pace.stride_level_m
		time.pace.stride_up_m time.pace.stride_down_m time.second_opinions.Tobler.moving_s
		time.second_opinions.Tobler.differs sun.civil_dawn sun.sunrise sun.sunset sun.civil_dusk heat.peak_wbgt_c
		heat.peak_air_c heat.peak_at heat.limit_wbgt_c heat.alert_limit_wbgt_c heat.exposure_limit_wbgt_c
		official.heat_level official.storm_chance official.air_quality_index heat.off_by heat.worst_hour.from
		heat.worst_hour.to heat.worst_hour.mean_wbgt_c heat.worst_hour.work_w heat.worst_hour.limit_wbgt_c
		heat.hours[].at heat.hours[].air_c heat.hours[].humidity_percent heat.hours[].solar_w_m2 heat.hours[].wbgt_c
		heat.hours[].heat_index_c water.drink_l_per_h water.carry_l_per_person water.group_reserve_l
		water.before_start_l water.bottles water.carry_without_refills_l water.refills[].at_m water.refills[].counted
		water.body_sizes[].drink_l_per_h water.load.share_of_body_percent food.kcal_per_h_low food.kcal_per_h_high
		food.carry_kcal_per_person food.before_start_kcal return.expected return.latest return.watch return.call
		turnaround.at turnaround.because turnaround.start_by turnaround.off_trail_by turnaround.points[].name
		turnaround.points[].at_m turnaround.points[].at turnaround.points[].because start_window.earliest
		start_window.latest start_window.best start_window.with_care.earliest start_window.with_care.latest
		start_window.limits[] start_window.starts[].at start_window.starts[].decision
		start_window.starts[].peak_wbgt_c start_window.starts[].peak_felt_c start_window.starts[].over_c
		short_option.turn_at_m short_option.name short_option.distance_m short_option.p50_s short_option.p90_s
		short_option.drink_l_per_h short_option.carry_l_per_person short_option.passes verdict.decision
		verdict.reasons[] verdict.instead[] cautions[]`) {
		if _, ok := keys[want]; !ok {
			t.Errorf("the plan's JSON has no %s", want)
		}
	}
}
