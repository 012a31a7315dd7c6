package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// settable is a clock that all watchers of a test share.
type settable struct {
	mu  sync.Mutex
	now time.Time
}

func (c *settable) get() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *settable) set(t time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = t
}

// sent is who gets which step of which hike in the log, each once and with its due time.
func sent(t *testing.T, l *lookout, h hike.Hike) map[string]time.Time {
	t.Helper()
	log, err := l.db.WatchLog(context.Background(), h.ID)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]time.Time{}
	for _, e := range log {
		if e.Kind != watch.LogStep {
			continue
		}
		key := fmt.Sprintf("%s/%d to %s", e.Step, e.Round, strings.Split(e.Recipient, ", ")[1])
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

// want adds the steps of a hike that is due at a watch time, by hand and not by the code
// under test. Deputy is the account that has the deputy's number.
func want(n int, watchAt time.Time, steps string) map[string]time.Time {
	onCall, deputy := fmt.Sprintf("oncall%d@example.org", n), "leader4@example.org"
	ways := map[string]struct {
		after time.Duration
		to    []string
	}{
		"watch":             {0, []string{onCall}},
		"watch-deputy":      {10 * time.Minute, []string{deputy}},
		"watch-coordinator": {20 * time.Minute, []string{coordinatorMail}},
		"widen":             {30 * time.Minute, []string{onCall, coordinatorMail}},
		"call":              {60 * time.Minute, []string{onCall, deputy, coordinatorMail}},
		"call-again":        {70 * time.Minute, []string{onCall, deputy, coordinatorMail}},
	}
	all := map[string]time.Time{}
	for _, s := range strings.Fields(steps) {
		for _, to := range ways[s].to {
			all[s+"/1 to "+to] = watchAt.Add(ways[s].after)
		}
	}
	return all
}

const everyStep = "watch watch-deputy watch-coordinator widen call call-again"

// fate is what becomes of a hike of the test and which steps follow from it.
type fate struct {
	name string
	play func(l *lookout, h hike.Hike, at time.Time) // told each step of the clock
	want func(n int, start time.Time) map[string]time.Time
}

func fates() []fate {
	card := func(n int, at time.Time, round int, all map[string]time.Time) map[string]time.Time {
		for _, to := range []string{fmt.Sprintf("oncall%d@example.org", n), "leader4@example.org"} {
			all[fmt.Sprintf("card/%d to %s", round, to)] = at
		}
		return all
	}
	return []fate{
		{"silent", nil, func(n int, start time.Time) map[string]time.Time {
			return card(n, start, 1, want(n, start.Add(latest), everyStep))
		}},
		{"answered in time", func(l *lookout, h hike.Hike, at time.Time) {
			if at.Sub(h.Start) == latest+5*time.Minute {
				if err := l.db.AddToLog(context.Background(), watch.Logged{Hike: h.ID, At: at, Kind: watch.LogAcknowledged, By: "on-call"}); err != nil {
					l.t.Fatal(err)
				}
			}
		}, func(n int, start time.Time) map[string]time.Time {
			return card(n, start, 1, want(n, start.Add(latest), "watch widen call call-again"))
		}},
		{"back before the watch time", func(l *lookout, h hike.Hike, at time.Time) {
			if at.Sub(h.Start) == latest-5*time.Minute {
				l.back(h, at)
			}
		}, func(n int, start time.Time) map[string]time.Time { return card(n, start, 1, want(n, start, "")) }},
		{"back after the first step", func(l *lookout, h hike.Hike, at time.Time) {
			if at.Sub(h.Start) == latest+5*time.Minute {
				l.back(h, at)
			}
		}, func(n int, start time.Time) map[string]time.Time {
			return card(n, start, 1, want(n, start.Add(latest), "watch"))
		}},
		{"delay reported before the watch time", func(l *lookout, h hike.Hike, at time.Time) {
			if at.Sub(h.Start) == latest-5*time.Minute {
				l.record(h, roll.KindDelayed, at, func(e *roll.Event) { e.Minutes = 40 })
			}
		}, func(n int, start time.Time) map[string]time.Time {
			all := card(n, start, 1, want(n, start.Add(latest+40*time.Minute), everyStep))
			return card(n, start.Add(latest-5*time.Minute), 2, all)
		}},
	}
}

// Fifty hikes go overdue while two watchers run, whose passes are cut off at random. Every
// step reaches every recipient once, says its time, and only where the roll asks for it.
func TestEveryStepOnceWhateverIsCutOff(t *testing.T) {
	const hikes = 50
	l := newLookout(t)
	// Days ago, so that the database takes every hike for one whose time has come.
	begin := time.Now().Add(-48 * time.Hour).Truncate(time.Minute).UTC()
	clock := &settable{now: begin}
	all := fates()
	list := make([]hike.Hike, hikes)
	for i := range list {
		list[i] = l.post(i, begin.Add(time.Duration(i%6)*5*time.Minute))
		l.depart(list[i], list[i].Start)
	}
	dice := rand.New(rand.NewPCG(7, 11))
	cut := 0
	for at := begin; at.Before(begin.Add(5*time.Hour + 20*time.Minute)); at = at.Add(5 * time.Minute) {
		if since := at.Sub(begin); since > 30*time.Minute && since < latest-10*time.Minute {
			continue // nothing is due
		}
		clock.set(at)
		for i, h := range list {
			if play := all[i%len(all)].play; play != nil {
				play(l, h, at)
			}
		}
		cut += twoWatchers(t, l, clock, dice.Perm(60)[:2])
	}
	for i, h := range list {
		f := all[i%len(all)]
		if got, want := sent(t, l, h), f.want(i, h.Start); !sameTimes(got, want) {
			t.Errorf("hike %d, %s:\n got %s\nwant %s", i, f.name, inWords(got, begin), inWords(want, begin))
		}
	}
	if cut < 20 {
		t.Errorf("only %d passes were cut off: the test shows little", cut)
	}
	l.oneMailForEachLine(t)
	t.Logf("%d passes cut off", cut)
}

// twoWatchers runs a pass of each at once and cuts them off after so many milliseconds,
// then lets both finish. It returns how many were cut off.
func twoWatchers(t *testing.T, l *lookout, clock *settable, after []int) (cut int) {
	t.Helper()
	var mu sync.Mutex
	var wg sync.WaitGroup
	for _, ms := range after {
		wg.Go(func() {
			w := l.watcher(clock.get)
			ctx, stop := context.WithTimeout(context.Background(), time.Duration(ms)*time.Millisecond)
			defer stop()
			if w.Watch(ctx) != nil {
				mu.Lock()
				defer mu.Unlock()
				cut++
			}
		})
	}
	wg.Wait()
	for range 2 {
		wg.Go(func() {
			if err := l.watcher(clock.get).Watch(context.Background()); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	return cut
}

// oneMailForEachLine holds the outbox to the log: a line that says that something was
// sent has its messages there, once, and no message is there without a line.
func (l *lookout) oneMailForEachLine(t *testing.T) {
	t.Helper()
	lines := l.pairs(`SELECT ref || '/' || replace(way, 'mail', 'alarm'), '' FROM watch_log, unnest(string_to_array(channel, ' and ')) AS way WHERE kind = 'step' AND channel <> 'none'`)
	mails := l.pairs(`SELECT key, '' FROM outbox WHERE channel IN ('alarm', 'webhook')`)
	if len(lines) == 0 || len(lines) != len(mails) {
		t.Errorf("%d messages by the log, %d in the outbox", len(lines), len(mails))
	}
	for k := range lines {
		if mails[k] != 1 {
			t.Errorf("message %s is in the outbox %d times, want once", k[0], mails[k])
		}
	}
}

func sameTimes(a, b map[string]time.Time) bool {
	if len(a) != len(b) {
		return false
	}
	for k, at := range a {
		if !at.Equal(b[k]) {
			return false
		}
	}
	return true
}

func inWords(all map[string]time.Time, begin time.Time) string {
	var list []string
	for k, at := range all {
		list = append(list, fmt.Sprintf("%s at +%v", k, at.Sub(begin)))
	}
	slices.Sort(list)
	return strings.Join(list, "; ")
}
