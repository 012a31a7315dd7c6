package plan_test

import (
	"testing"
	"time"

	"saltbush/internal/plan"
)

// A day on which clocks change is planned as the same instants in a zone that stands
// still: what people are told is another wall clock, not another time.
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
		told  string         // the wall clock that the watch time is told by
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
				{"expected", changed.Return.Expected, still.Return.Expected},
				{"watch", changed.Return.Watch, still.Return.Watch},
				{"call", changed.Return.Call, still.Return.Call},
				{"turnaround", changed.Turnaround.At, still.Turnaround.At},
				{"turnaround at Notch", changed.Turnaround.Points[0].At, still.Turnaround.Points[0].At},
				{"sunset", changed.Sun.Sunset, still.Sun.Sunset},
				{"Notch", changed.Time.Points[0].P90, still.Time.Points[0].P90},
			} {
				if !one.got.Equal(one.want.Time) {
					t.Errorf("%s at %s, want the instant of %s", one.what, one.got.Time, one.want.Time)
				}
			}
			if name, _ := changed.Return.Watch.Zone(); name != tt.told {
				t.Errorf("the watch time is told in %s, want %s", name, tt.told)
			}
			if took := changed.Return.Watch.Sub(tt.start); took < changed.Time.P90.Duration() ||
				took > changed.Time.P90.Duration()+time.Minute {
				t.Errorf("watch time %s after the start, want %s, rounded up to a minute",
					took, changed.Time.P90.Duration())
			}
		})
	}
}
