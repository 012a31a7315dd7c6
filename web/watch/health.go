package watch

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/watch"
)

// WatchHealth answers monitors: 200 while the watch is kept, with figures in the usual
// text form for metrics. Let something outside this machine ask for it.
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
		word, p.Passed.UTC().Format("2006-01-02T15:04:05Z"), p.By, now.Sub(p.Passed).Seconds(), p.Waiting, p.Overdue,
		p.Failed)
}

// asleep says in words that the watch is not kept; empty while it is.
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

// looked says when the watcher last went through all watches; empty where it is not known.
func (s *Handlers) looked(ctx context.Context, zone *time.Location) string {
	p, err := s.Watch.Pulse(ctx, s.Now())
	if err != nil || p.Passed.IsZero() {
		return ""
	}
	return p.Passed.In(zone).Format("15:04:05")
}

func asleepWords(why string) string {
	return why +
		" Nobody is being woken by this program: hold the clocks yourself, by the times below, and tell whoever runs " +
		"the server."
}
