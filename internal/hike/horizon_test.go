package hike_test

import (
	"testing"
	"time"

	"saltbush/internal/hike"
)

func TestWhatAHikeWantsAndWhen(t *testing.T) {
	start := time.Date(2027, 3, 15, 13, 0, 0, 0, time.UTC)
	h := hike.Hike{State: hike.Posted, Meet: start.Add(-30 * time.Minute), Start: start}
	hour := h.DecideBy()
	for _, tt := range []struct {
		name string
		got  bool
		want bool
	}{
		{"forecast within five days", h.WantsForecast(start.Add(-119 * time.Hour)), true},
		{"forecast sooner", h.WantsForecast(start.Add(-120 * time.Hour)), false},
		{"forecast once it has begun", h.WantsForecast(start), false},
		{"decision on the day before its hour", h.WantsDecision(hour.Add(-23 * time.Hour)), true},
		{"decision two days before its hour", h.WantsDecision(hour.Add(-48 * time.Hour)), false},
		{"decision forgotten", h.WantsDecision(start.Add(23 * time.Hour)), true},
		{"decision of the past", h.WantsDecision(start.Add(25 * time.Hour)), false},
		{"not past", h.Past(start.Add(24 * time.Hour)), false},
		{"past", h.Past(start.Add(25 * time.Hour)), true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.got != tt.want {
				t.Errorf("%v, want %v", tt.got, tt.want)
			}
		})
	}
	if ends := h.ContactLinkEnds(); !ends.Equal(start.Add(24 * time.Hour)) {
		t.Errorf("a contact's link ends %s, want a day after the start", ends)
	}
}
