package watch_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/party"
	"saltbush/internal/watch"
)

// utc7 is a trailhead without summer time, seven hours west.
var utc7 = time.FixedZone("UTC-7", -7*3600)

func at(hour, minute int) time.Time { return time.Date(2026, 5, 9, hour, minute, 0, 0, utc7) }

// spread is P90 over P50 for the default spread of 0.20 (log): e to the 0.20 x 1.2816.
var spread = math.Exp(0.20 * 1.2816)

// plain is a promise without anything urgent: out 06:30 for 3 h 45.
func plain() watch.Promise {
	p50 := 3*time.Hour + 45*time.Minute
	return watch.Promise{Scheduled: at(6, 30), P50: p50, P90: time.Duration(float64(p50) * spread), Adults: 8}
}

func near(t *testing.T, what string, got, want time.Time) {
	t.Helper()
	// Half of the last printed digit, a minute.
	if d := got.Sub(want).Abs(); d > 30*time.Second {
		t.Errorf("%s = %s, want %s", what, got.In(utc7).Format("15:04:05"), want.Format("15:04"))
	}
}

// A late start moves the clock and not the limits.
func TestLateStart(t *testing.T) {
	p := plain()
	p.HeatFlag, p.OffBy = true, at(10, 30)

	onTime := watch.TimesOf(p, at(6, 30), 0)
	near(t, "on-time P90", onTime.Watch, at(11, 21))

	late := watch.TimesOf(p, at(7, 5), 0)
	near(t, "expected", late.Expected, at(10, 50))
	near(t, "watch", late.Watch, at(11, 56))
	near(t, "call with the heat flag", late.Call, at(12, 26))
	if limits := p.Limits(); len(limits) != 1 || !limits[0].At.Equal(at(10, 30)) {
		t.Errorf("limits = %v, want the heat limit still at 10:30", limits)
	}
}

func TestAReportMovesTheWatch(t *testing.T) {
	p := plain()
	silent := watch.TimesOf(p, at(9, 0), 0)
	reported := watch.TimesOf(p, at(9, 0), 47*time.Minute)
	if got := reported.Watch.Sub(silent.Watch); got != 47*time.Minute {
		t.Errorf("a report of 47 min moved the watch by %v", got)
	}
}

func TestNegativeDelayIsNone(t *testing.T) {
	if a, b := watch.TimesOf(plain(), at(7, 0), 0),
		watch.TimesOf(plain(), at(7, 0), -time.Hour); !a.Watch.Equal(b.Watch) {
		t.Errorf("a delay of minus an hour moved the watch from %v to %v", a.Watch, b.Watch)
	}
}

func TestWaitShrinksWithUrgency(t *testing.T) {
	tests := []struct {
		name   string
		change func(*watch.Promise)
		want   time.Duration
	}{
		{"usual", func(*watch.Promise) {}, time.Hour},
		{"heat", func(p *watch.Promise) { p.HeatFlag = true }, 30 * time.Minute},
		{"minor", func(p *watch.Promise) { p.Minors = true }, 30 * time.Minute},
		{"medical card", func(p *watch.Promise) { p.MedicalCard = true }, 30 * time.Minute},
		{"four adults", func(p *watch.Promise) { p.Adults = 4 }, time.Hour},
		{"three adults", func(p *watch.Promise) { p.Adults = 3 }, 30 * time.Minute},
		{"adults not known", func(p *watch.Promise) { p.Adults = 0 }, 30 * time.Minute},
		{"all at once", func(p *watch.Promise) { p.HeatFlag, p.Minors, p.Adults = true, true, 2 }, 30 * time.Minute},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := plain()
			tt.change(&p)
			got := watch.TimesOf(p, at(6, 30), 0)
			if wait := got.Call.Sub(got.Watch); wait != tt.want {
				t.Errorf("call comes %v after watch, want %v", wait, tt.want)
			}
			if (tt.want < time.Hour) != (len(got.Why) > 0) {
				t.Errorf("reasons = %q", got.Why)
			}
		})
	}
}

func TestDepartureNotReportedCountsFromTheSchedule(t *testing.T) {
	got := watch.TimesOf(plain(), time.Time{}, 0)
	if got.DepartureConfirmed || !got.Start.Equal(at(6, 30)) {
		t.Errorf("start %v, confirmed %v; want the scheduled one, not confirmed", got.Start, got.DepartureConfirmed)
	}
	near(t, "watch", got.Watch, at(11, 21))
}

func TestLimitsOfLightAndWater(t *testing.T) {
	// Start 13:00 for 3 h, at most 4 h: watch 17:00, call 18:00.
	base := watch.Promise{Scheduled: at(13, 0), P50: 3 * time.Hour, P90: 4 * time.Hour, Adults: 8}
	tests := []struct {
		name        string
		dusk, water time.Time
		delay       time.Duration
		watch, call time.Time
	}{
		{"far off", at(19, 0), at(20, 0), 0, at(17, 0), at(18, 0)},
		{"dusk within the wait", at(17, 50), time.Time{}, 0, at(17, 0), at(17, 50)},
		{"dusk just after watch leaves half an hour to ask", at(17, 10), time.Time{}, 0, at(17, 0), at(17, 30)},
		{"water before watch", time.Time{}, at(16, 0), 0, at(16, 0), at(16, 30)},
		{"a reported delay does not pass dusk", at(17, 50), time.Time{}, 3 * time.Hour, at(17, 50), at(18, 20)},
		{"both, water first", at(17, 50), at(17, 40), 0, at(17, 0), at(17, 40)},
		{"dusk before the start is no limit", at(5, 0), time.Time{}, 0, at(17, 0), at(18, 0)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := base
			p.Dusk, p.WaterBy = tt.dusk, tt.water
			got := watch.TimesOf(p, at(13, 0), tt.delay)
			if !got.Watch.Equal(tt.watch) || !got.Call.Equal(tt.call) {
				t.Errorf("watch %s, call %s; want %s, %s", got.Watch.Format("15:04"), got.Call.Format("15:04"),
					tt.watch.Format("15:04"), tt.call.Format("15:04"))
			}
		})
	}
}

func TestTimesAreInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minutes := func(name string, lo, hi int) time.Duration {
			return time.Duration(rapid.IntRange(lo, hi).Draw(t, name)) * time.Minute
		}
		p := plain()
		p.P50 = minutes("p50", 30, 400)
		p.P90 = p.P50 + minutes("more", 0, 200)
		p.HeatFlag = rapid.Bool().Draw(t, "heat")
		p.Dusk, p.WaterBy = p.Scheduled.Add(minutes("dusk", -60, 900)), p.Scheduled.Add(minutes("water", -60, 900))
		departed := p.Scheduled.Add(minutes("late", -30, 300))
		delay := minutes("delay", 0, 300)
		got := watch.TimesOf(p, departed, delay)
		if got.Watch.Before(got.Start) || got.Widen.Before(got.Watch) || got.Call.Before(got.Widen) {
			t.Fatalf("start %v, watch %v, widen %v, call %v are out of order",
				got.Start, got.Watch, got.Widen, got.Call)
		}
		if wait := got.Call.Sub(got.Watch); wait < 30*time.Minute || wait > time.Hour {
			t.Fatalf("call comes %v after watch, want 30 to 60 min", wait)
		}
		later := watch.TimesOf(p, departed, delay+10*time.Minute)
		if later.Watch.Before(got.Watch) || later.Watch.Sub(got.Watch) > 10*time.Minute {
			t.Fatalf("10 more minutes moved the watch from %v to %v", got.Watch, later.Watch)
		}
		for _, limit := range p.Limits() {
			if limit.At.After(got.Start) && got.Watch.After(limit.At) {
				t.Fatalf("watch %v is past %s at %v", got.Watch, limit.Name, limit.At)
			}
		}
	})
}

// A clock change on the day moves wall clocks but no instant.
func TestClockChangeDoesNotMoveInstants(t *testing.T) {
	denver, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	tests := []struct {
		name      string
		departed  time.Time
		wallWatch string
	}{
		{"spring forward", time.Date(2026, 3, 8, 1, 30, 0, 0, denver), "06:30"},
		{"fall back", time.Date(2026, 11, 1, 0, 30, 0, 0, denver), "03:30"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := watch.Promise{Scheduled: tt.departed, P50: 3 * time.Hour, P90: 4 * time.Hour, Adults: 8}
			local, inUTC := watch.TimesOf(p, tt.departed, 0), watch.TimesOf(p, tt.departed.UTC(), 0)
			if !local.Watch.Equal(inUTC.Watch) || local.Watch.Sub(tt.departed) != 4*time.Hour {
				t.Errorf("watch %v after departure, want 4 h in any zone", local.Watch.Sub(tt.departed))
			}
			if got := local.Watch.In(denver).Format("15:04"); got != tt.wallWatch {
				t.Errorf("wall clock %s, want %s", got, tt.wallWatch)
			}
		})
	}
}

func TestStillNormal(t *testing.T) {
	p := plain()
	tests := []struct {
		name    string
		elapsed time.Duration
		want    float64
	}{
		{"not begun", 0, 1},
		{"likely duration, by definition", p.P50, 0.5},
		{"long duration, by definition", p.P90, 0.1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := float64(p.StillNormal(tt.elapsed)); math.Abs(got-tt.want) > 1e-4 {
				t.Errorf("still normal after %v = %.5f, want %.1f", tt.elapsed, got, tt.want)
			}
		})
	}
	p.P90 = p.P50
	if p.StillNormal(p.P50) != 1 || p.StillNormal(p.P50+time.Second) != 0 {
		t.Error("without a spread the likelihood is not a step at the likely duration")
	}
}

func TestPromiseValidate(t *testing.T) {
	for name, change := range map[string]func(*watch.Promise){
		"no schedule":        func(p *watch.Promise) { p.Scheduled = time.Time{} },
		"no duration":        func(p *watch.Promise) { p.P50 = 0 },
		"long under likely":  func(p *watch.Promise) { p.P90 = p.P50 - time.Minute },
		"negative durations": func(p *watch.Promise) { p.P50 = -1 },
	} {
		p := plain()
		change(&p)
		if p.Validate() == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if err := plain().Validate(); err != nil {
		t.Errorf("plain promise: %v", err)
	}
}

// zone loads a zone by name and skips the test on a machine without zone data.
func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	return z
}

// Clock changes, midnight and neighbors without summer time do not change the times that
// people were told, neither the wall clock at the trailhead nor the instants, whatever the
// server's zone is. The walk takes 3 h, at most 4 h.
func TestTimesHoldAcrossClockChanges(t *testing.T) {
	day := func(z *time.Location, month time.Month, date, hour, minute int) time.Time {
		return time.Date(2026, month, date, hour, minute, 0, 0, z)
	}
	denver, phoenix := zone(t, "America/Denver"), zone(t, "America/Phoenix")
	tests := []struct {
		name                  string
		start                 time.Time
		expected, watch, call string
	}{
		{"clocks put forward on the way", day(denver, 3, 8, 0, 30), "Sun 04:30 MDT", "Sun 05:30 MDT", "Sun 06:30 MDT"},
		{"clocks put back on the way", day(denver, 11, 1, 0, 30), "Sun 02:30 MST", "Sun 03:30 MST", "Sun 04:30 MST"},
		{"watch time in the repeated hour", day(denver, 10, 31, 22, 0), "Sun 01:00 MDT", "Sun 01:00 MST",
			"Sun 02:00 MST"},
		{"that night where clocks stand still", day(phoenix, 10, 31, 22, 0), "Sun 01:00 MST", "Sun 02:00 MST",
			"Sun 03:00 MST"},
		{"across midnight", day(phoenix, 6, 20, 21, 30), "Sun 00:30 MST", "Sun 01:30 MST", "Sun 02:30 MST"},
		{"a morning with summer time", day(denver, 6, 20, 6, 0), "Sat 09:00 MDT", "Sat 10:00 MDT", "Sat 11:00 MDT"},
		{"the same morning without", day(phoenix, 6, 20, 6, 0), "Sat 09:00 MST", "Sat 10:00 MST", "Sat 11:00 MST"},
	}
	for _, tt := range tests {
		for _, server := range []string{"UTC", "Pacific/Auckland", "America/St_Johns"} {
			t.Run(tt.name+", server in "+server, func(t *testing.T) {
				p := watch.Promise{Scheduled: tt.start.In(zone(t, server)), P50: 3 * time.Hour, P90: 4 * time.Hour,
					Adults: 8}
				left := departed()
				left.At = tt.start.In(zone(t, server))
				got := watch.TimesFor(p, party.Fold(roster, []party.Event{left}))
				if d := got.Watch.Sub(tt.start); d != 4*time.Hour || got.Call.Sub(got.Watch) != time.Hour {
					t.Errorf("watch %v after the start, call %v after that; want 4 h and 1 h",
						d, got.Call.Sub(got.Watch))
				}
				for _, one := range []struct {
					what string
					at   time.Time
					want string
				}{{"expected", got.Expected, tt.expected}, {"watch", got.Watch, tt.watch},
					{"call", got.Call, tt.call}} {
					if text := one.at.In(tt.start.Location()).Format("Mon 15:04 MST"); text != one.want {
						t.Errorf("%s reads %s, want %s", one.what, text, one.want)
					}
				}
			})
		}
	}
}
