package watch_test

import (
	"net/http"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
)

// Outside monitors and the board say when the watcher does not run.
func TestWatcherThatStopsIsReported(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	clock := sitetest.NewClock(time.Now())
	v := l.Pages(clock.Now).SignIn(t, sitetest.Coordinator)
	const down = "The watch is not kept"
	v.Get("/healthz/watch").Want(http.StatusServiceUnavailable)
	v.Get("/board").Want(http.StatusOK).Shows(down, "has not run yet")

	l.Watch(clock.Now)
	v.Get("/healthz/watch").Want(http.StatusOK)
	v.Get("/board").Want(http.StatusOK).Hides(down)

	clock.Pass(119 * time.Second)
	v.Get("/healthz/watch").Want(http.StatusOK)
	v.Get("/board").Want(http.StatusOK).Hides(down)

	clock.Pass(3 * time.Minute)
	v.Get("/healthz/watch").Want(http.StatusServiceUnavailable)
	v.Get("/board").Want(http.StatusOK).Shows(down, "last ran 5 min ago")
}

func TestHealthOfTheWatchHasFigures(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	start := time.Now().Add(-time.Hour)
	l.Depart(l.Post(1, start), start)
	l.Watch(time.Now)
	l.Pages(time.Now).Visitor(t).Get("/healthz/watch").Shows(
		"watch kept: last pass", "saltbush_watch_last_pass_age_seconds ", "saltbush_watch_steps_waiting 6",
		"saltbush_watch_steps_overdue 0",
	)
}
