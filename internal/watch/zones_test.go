package watch_test

import (
	"testing"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/watch"
)

// zone loads a zone by its name; a machine without zone data skips the test.
func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	return z
}

// Clock changes, midnight and neighbours without summer time change nothing that people
// were told: the wall clock written at the trailhead stands, and so do the instants
// behind it, whatever zone the server lives in. A walk of 3 h, at most 4 h.
func TestWhatWasToldStands(t *testing.T) {
	day := func(z *time.Location, month time.Month, date, hour, min int) time.Time {
		return time.Date(2026, month, date, hour, min, 0, 0, z)
	}
	denver, phoenix := zone(t, "America/Denver"), zone(t, "America/Phoenix")
	tests := []struct {
		name                  string
		start                 time.Time
		expected, watch, call string
	}{
		{"clocks put forward on the way", day(denver, 3, 8, 0, 30), "Sun 04:30 MDT", "Sun 05:30 MDT", "Sun 06:30 MDT"},
		{"clocks put back on the way", day(denver, 11, 1, 0, 30), "Sun 02:30 MST", "Sun 03:30 MST", "Sun 04:30 MST"},
		{"watch time in the repeated hour", day(denver, 10, 31, 22, 0), "Sun 01:00 MDT", "Sun 01:00 MST", "Sun 02:00 MST"},
		{"that night where clocks stand still", day(phoenix, 10, 31, 22, 0), "Sun 01:00 MST", "Sun 02:00 MST", "Sun 03:00 MST"},
		{"across midnight", day(phoenix, 6, 20, 21, 30), "Sun 00:30 MST", "Sun 01:30 MST", "Sun 02:30 MST"},
		{"a morning with summer time", day(denver, 6, 20, 6, 0), "Sat 09:00 MDT", "Sat 10:00 MDT", "Sat 11:00 MDT"},
		{"the same morning without", day(phoenix, 6, 20, 6, 0), "Sat 09:00 MST", "Sat 10:00 MST", "Sat 11:00 MST"},
	}
	for _, tt := range tests {
		for _, server := range []string{"UTC", "Pacific/Auckland", "America/St_Johns"} {
			t.Run(tt.name+", server in "+server, func(t *testing.T) {
				p := watch.Promise{Scheduled: tt.start.In(zone(t, server)), P50: 3 * time.Hour, P90: 4 * time.Hour, Adults: 8}
				left := departed()
				left.At = tt.start.In(zone(t, server))
				got := watch.TimesFor(p, party.Fold(roster, []party.Event{left}))
				if d := got.Watch.Sub(tt.start); d != 4*time.Hour || got.Call.Sub(got.Watch) != time.Hour {
					t.Errorf("watch %v after the start, call %v after that; want 4 h and 1 h", d, got.Call.Sub(got.Watch))
				}
				for _, one := range []struct {
					what string
					at   time.Time
					want string
				}{{"expected", got.Expected, tt.expected}, {"watch", got.Watch, tt.watch}, {"call", got.Call, tt.call}} {
					if text := one.at.In(tt.start.Location()).Format("Mon 15:04 MST"); text != one.want {
						t.Errorf("%s reads %s, want %s", one.what, text, one.want)
					}
				}
			})
		}
	}
}
