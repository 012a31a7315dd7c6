package calendar_test

import (
	"testing"
	"time"

	"saltbush/internal/calendar"
)

func TestDiffers(t *testing.T) {
	start := time.Date(2026, 5, 2, 12, 40, 0, 0, time.UTC)
	tests := []struct {
		name   string
		change func(*calendar.Event)
		want   bool
	}{
		{"nothing", func(*calendar.Event) {}, false},
		{"sequence and stamp", func(e *calendar.Event) { e.Sequence, e.Stamp = 9, start }, false},
		{"the end by a little", func(e *calendar.Event) { e.End = e.End.Add(-14 * time.Minute) }, false},
		{"the end by the slack", func(e *calendar.Event) { e.End = e.End.Add(-15 * time.Minute) }, true},
		{"the end becomes unknown", func(e *calendar.Event) { e.End = time.Time{} }, true},
		{"the start by a minute", func(e *calendar.Event) { e.Start = e.Start.Add(time.Minute) }, true},
		{"the place", func(e *calendar.Event) { e.Location = "North gate" }, true},
		{"called off", func(e *calendar.Event) { e.Status = calendar.Cancelled }, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			was, is := event(start), event(start)
			tt.change(&is)
			if is.Differs(was, 15*time.Minute) != tt.want || was.Differs(is, 15*time.Minute) != tt.want {
				t.Errorf("Differs is %v one way and %v the other, want %v",
					is.Differs(was, 15*time.Minute), was.Differs(is, 15*time.Minute), tt.want)
			}
		})
	}
}
