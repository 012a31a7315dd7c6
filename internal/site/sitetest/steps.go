package sitetest

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/watch"
)

// Steps are steps of the watch by what they are and whom they reach, with their due times:
// "watch/1 to oncall1@example.org" is the first round of the step watch.
type Steps map[string]time.Time

// Ladder is every step of a hike that nobody answers, the first one first.
const Ladder = "watch watch-deputy watch-coordinator widen call call-again"

// LoggedSteps reads the steps of a hike off its log. Each may be there once, and says how
// late it came.
func (l *Lookout) LoggedSteps(t testing.TB, h hike.Hike) Steps {
	t.Helper()
	log, err := l.DB.WatchLog(context.Background(), h.ID)
	if err != nil {
		t.Fatal(err)
	}
	got := Steps{}
	for _, e := range log {
		if e.Kind != watch.LogStep {
			continue
		}
		_, to, _ := strings.Cut(e.Recipient, ", ")
		key := fmt.Sprintf("%s/%d to %s", e.Step, e.Round, to)
		if _, twice := got[key]; twice {
			t.Errorf("hike %d: %s is in the log twice", h.ID, key)
		}
		got[key] = e.Due
		if late := e.At.Sub(e.Due); (late - e.LateBy).Abs() > time.Microsecond {
			t.Errorf("hike %d: %s came %v after its time and says %v", h.ID, key, late, e.LateBy)
		}
	}
	return got
}

// WantSteps are the steps, named as in Ladder, of the hike that was posted with number n and
// has that watch time. They are written here by hand, apart from the code under test. The
// deputy is the account that has the deputy's number.
func WantSteps(n int, watchAt time.Time, names string) Steps {
	onCall, deputy := fmt.Sprintf("oncall%d@example.org", n), "leader4@example.org"
	ways := map[string]struct {
		after time.Duration
		to    []string
	}{
		"watch":             {0, []string{onCall}},
		"watch-deputy":      {10 * time.Minute, []string{deputy}},
		"watch-coordinator": {20 * time.Minute, []string{Coordinator}},
		"widen":             {30 * time.Minute, []string{onCall, Coordinator}},
		"call":              {60 * time.Minute, []string{onCall, deputy, Coordinator}},
		"call-again":        {70 * time.Minute, []string{onCall, deputy, Coordinator}},
	}
	all := Steps{}
	for _, name := range strings.Fields(names) {
		for _, to := range ways[name].to {
			all[name+"/1 to "+to] = watchAt.Add(ways[name].after)
		}
	}
	return all
}

// WithRepeats adds the call for help again and again, every ten minutes after the second notice and
// before the end.
func (s Steps) WithRepeats(n int, watchAt, end time.Time) Steps {
	round := 1
	for at := watchAt.Add(80 * time.Minute); at.Before(end); at = at.Add(10 * time.Minute) {
		for _, to := range []string{fmt.Sprintf("oncall%d@example.org", n), "leader4@example.org", Coordinator} {
			s[fmt.Sprintf("call-repeat/%d to %s", round, to)] = at
		}
		round++
	}
	return s
}

// WithClear adds the all-clear to on-call.
func (s Steps) WithClear(n int, at time.Time) Steps {
	s[fmt.Sprintf("all-clear/1 to oncall%d@example.org", n)] = at
	return s
}

// WithCard adds the watch card of a departure, in that round.
func (s Steps) WithCard(n int, at time.Time, round int) Steps {
	for _, to := range []string{fmt.Sprintf("oncall%d@example.org", n), "leader4@example.org"} {
		s[fmt.Sprintf("card/%d to %s", round, to)] = at
	}
	return s
}

// Same reports whether both are the same steps at the same times.
func (s Steps) Same(other Steps) bool {
	if len(s) != len(other) {
		return false
	}
	for key, at := range s {
		if !at.Equal(other[key]) {
			return false
		}
	}
	return true
}

// Since lists the steps by name, with their times from begin on.
func (s Steps) Since(begin time.Time) string {
	var list []string
	for key, at := range s {
		list = append(list, fmt.Sprintf("%s at +%v", key, at.Sub(begin)))
	}
	slices.Sort(list)
	return strings.Join(list, "; ")
}

// OneMessageForEachLine holds the outbox to the log: a line that says that something was
// sent has its messages there, once, and no message is there without a line.
func (l *Lookout) OneMessageForEachLine(t testing.TB) {
	t.Helper()
	lines := l.Pairs(`
		SELECT ref || '/' || replace(way, 'mail', 'alarm'), ''
		FROM watch_log, unnest(string_to_array(channel, ' and ')) AS way
		WHERE kind = 'step' AND channel <> 'none'`)
	messages := l.Pairs(`SELECT key, '' FROM outbox WHERE channel IN ('alarm', 'webhook')`)
	if len(lines) == 0 || len(lines) != len(messages) {
		t.Errorf("%d messages by the log, %d in the outbox", len(lines), len(messages))
	}
	for k := range lines {
		if messages[k] != 1 {
			t.Errorf("message %s is in the outbox %d times, want once", k[0], messages[k])
		}
	}
}
