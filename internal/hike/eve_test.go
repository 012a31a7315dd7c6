package hike_test

import (
	"testing"
	"time"

	"saltbush/internal/hike"
)

func TestRemindsEve(t *testing.T) {
	meet := time.Date(2027, 5, 9, 12, 0, 0, 0, time.UTC)
	goes := hike.Decision{By: "Ash Moreno", At: meet.Add(-48 * time.Hour)}
	for _, tc := range []struct {
		name     string
		state    hike.State
		decision hike.Decision
		left     time.Duration
		want     bool
	}{
		{"a day before", hike.Posted, goes, 24 * time.Hour, true},
		{"three hours before", hike.Posted, goes, 3 * time.Hour, true},
		{"earlier", hike.Posted, goes, 24*time.Hour + time.Minute, false},
		{"on the road", hike.Posted, goes, 3*time.Hour - time.Minute, false},
		{"not decided", hike.Posted, hike.Decision{}, 12 * time.Hour, false},
		{"called off", hike.CalledOff, goes, 12 * time.Hour, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			h := hike.Hike{State: tc.state, Meet: meet, Decision: tc.decision}
			if got := h.RemindsEve(meet.Add(-tc.left)); got != tc.want {
				t.Errorf("reminds %v, want %v", got, tc.want)
			}
		})
	}
}
