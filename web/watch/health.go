package watch

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/watch"
)

// WatchHealth answers monitors: 200 while the watcher runs, else 503, with figures in the
// text format of metrics. Have it polled from another machine.
func (s *Handlers) WatchHealth(w http.ResponseWriter, r *http.Request) {
	now := s.Now()
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	p, err := s.Watch.Pulse(r.Context(), now)
	if err != nil {
		s.Log.Error("watch not readable", "err", err)
		http.Error(w, "not known: the database does not answer", http.StatusServiceUnavailable)
		return
	}
	word := "kept"
	if p.Asleep(now) {
		word = "NOT KEPT"
		w.WriteHeader(http.StatusServiceUnavailable)
	}
	if p.Passed.IsZero() {
		_, _ = fmt.Fprintf(w, "watch %s: no pass yet\n", word)
		return
	}
	_,
		_ = fmt.Fprintf(w,
		"watch %s: last pass %s by %s\nsaltbush_watch_last_pass_age_seconds %.1f\nsaltbush_watch_steps_waiting %d\n"+
			"saltbush_watch_steps_overdue %d\nsaltbush_watch_steps_failed %d\n",
		word, p.Passed.UTC().Format(time.RFC3339), p.By, now.Sub(p.Passed).Seconds(), p.Waiting, p.Overdue,
		p.Failed)
}

// asleep says that the watcher does not run, "" while it does.
func (s *Handlers) asleep(ctx context.Context) string {
	now := s.Now()
	p, err := s.Watch.Pulse(ctx, now)
	if err != nil {
		s.Log.Error("load the watcher's pass", "err", err)
		return asleepWords("Whether the watcher runs is not known.")
	}
	switch {
	case !p.Asleep(now):
		return ""
	case p.Passed.IsZero():
		return asleepWords("The watcher has not run yet.")
	case now.Sub(p.Passed) >= watch.Stale:
		return asleepWords("The watcher last ran " + format.Duration(now.Sub(p.Passed)) + " ago.")
	}
	return asleepWords("The watcher runs, but " + format.Count(max(p.Failed, p.Overdue), "step", "steps") +
		" could not be carried out.")
}

// lastPass is the time of the watcher's last pass through all watches, "" if not known.
func (s *Handlers) lastPass(ctx context.Context, zone *time.Location) string {
	p, err := s.Watch.Pulse(ctx, s.Now())
	if err != nil || p.Passed.IsZero() {
		return ""
	}
	return format.ClockSeconds(p.Passed, zone)
}

func asleepWords(why string) string {
	return why +
		" Nobody is being woken by this program: hold the clocks yourself, by the times below, and tell whoever runs " +
		"the server."
}
