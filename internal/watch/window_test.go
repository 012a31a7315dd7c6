package watch_test

import (
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/privacy"
	"saltbush/internal/watch"
)

// windowCase is a hike that has left at start, with a plan of two to three hours or none.
func windowCase(state hike.State, planned bool, start time.Time, log ...watch.Logged) watch.Case {
	c := watch.Case{Promised: planned, Log: log}
	c.Hike = hike.Hike{State: state, Meet: start.Add(-time.Hour), Start: start}
	c.State.Departed = start
	c.State.People = []party.Person{{Entry: party.Entry{ID: "a", Name: "Amaya"}, Where: party.WhereOut}}
	c.Times = watch.Times{Start: start, Expected: start.Add(2 * time.Hour), Watch: start.Add(3 * time.Hour), Widen: start.Add(210 * time.Minute), Call: start.Add(4 * time.Hour), DepartureConfirmed: true}
	return c
}

func TestWindowOfAWatch(t *testing.T) {
	start := time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		name    string
		state   hike.State
		planned bool
		after   time.Duration
		want    privacy.Window
	}{
		{"just left", hike.Out, true, time.Minute, privacy.Window{Day: true, Watched: true}},
		{"after the watch time", hike.Out, true, 3 * time.Hour, privacy.Window{Day: true, Watched: true, Alarm: true}},
		{"left without a plan", hike.Out, false, time.Minute, privacy.Window{Day: true, Watched: true, Alarm: true}},
		{"called off", hike.CalledOff, true, 5 * time.Hour, privacy.Window{}},
		{"closed", hike.Closed, true, 5 * time.Hour, privacy.Window{Day: true}},
		{"closed for long", hike.Closed, true, 100 * time.Hour, privacy.Window{}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := windowCase(tt.state, tt.planned, start).Window(start.Add(tt.after)); got != tt.want {
				t.Errorf("%+v, want %+v", got, tt.want)
			}
		})
	}
	t.Run("not left, the evening before", func(t *testing.T) {
		c := windowCase(hike.Posted, true, start)
		c.State.Departed, c.Times.DepartureConfirmed = time.Time{}, false
		if got, want := c.Window(start.Add(-12*time.Hour)), (privacy.Window{Day: true}); got != want {
			t.Errorf("%+v, want %+v", got, want)
		}
	})
}

func TestWhoTookTheAlarm(t *testing.T) {
	start := time.Date(2026, 5, 9, 13, 0, 0, 0, time.UTC)
	early := watch.Logged{Kind: watch.LogAcknowledged, By: "Early Bird", At: start.Add(time.Hour)}
	took := watch.Logged{Kind: watch.LogAcknowledged, By: "Petra", At: start.Add(3*time.Hour + time.Minute)}
	wrote := watch.Logged{Kind: watch.LogNote, By: "Writer", At: start.Add(3*time.Hour + time.Minute)}
	c := windowCase(hike.Out, true, start, early, took, wrote)
	for name, want := range map[string]bool{"Petra": true, "Early Bird": false, "Writer": false, "": false} {
		if got := c.Took(name, start.Add(200*time.Minute)); got != want {
			t.Errorf("%q took it: %v, want %v", name, got, want)
		}
	}
	if c.Took("Petra", start.Add(2*time.Hour)) {
		t.Error("taken before the alarm began")
	}
}
