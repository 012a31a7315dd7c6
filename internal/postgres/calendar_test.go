package postgres_test

import (
	"context"
	"sync"
	"testing"
	"time"

	"saltbush/internal/calendar"
)

// Callers at once that tell the same get one number; those that tell something else get the
// next.
func TestCalendarNumbersAtOnce(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	at := time.Date(2026, 5, 1, 6, 0, 0, 0, time.UTC)
	number := func(summary string) int {
		event := calendar.Event{UID: "place-1@hikes.example", Start: at, Summary: summary}
		list, err := db.Number(context.Background(), at, event)
		if err != nil {
			t.Error(err)
			return -1
		}
		return list[0].Sequence
	}
	number("first")
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			if got := number("second"); got != 1 {
				t.Errorf("the second summary has number %d, want 1", got)
			}
		})
	}
	all.Wait()
	if got := number("first"); got != 2 {
		t.Errorf("back to the first summary: number %d, want 2", got)
	}
}
