package site_test

import (
	"context"
	"math/rand/v2"
	"saltbush/internal/party"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
	"saltbush/internal/watch"
)

// fate is what happens to a hike, and the steps that follow.
type fate struct {
	name string
	play func(l *sitetest.Lookout, h hike.Hike, at time.Time) // called at each tick of the clock
	want func(n int, start, end time.Time) sitetest.Steps
}

// wantAfter returns the wanted steps of a hike that left at start, with its card.
func wantAfter(n int, start time.Time, steps string) sitetest.Steps {
	return sitetest.WantSteps(n, start.Add(sitetest.Latest), steps).WithCard(n, start, 1)
}

func fates(t *testing.T) []fate {
	const beforeWatch, afterWatch = sitetest.Latest - 5*time.Minute, sitetest.Latest + 5*time.Minute
	steps := func(names string) func(int, time.Time, time.Time) sitetest.Steps {
		return func(n int, start, end time.Time) sitetest.Steps {
			want := wantAfter(n, start, names)
			if strings.HasSuffix(names, "call-again") {
				want = want.WithRepeats(n, start.Add(sitetest.Latest), end)
			}
			return want
		}
	}
	at := func(after time.Duration, do func(*sitetest.Lookout, hike.Hike, time.Time)) func(*sitetest.Lookout, hike.Hike,
		time.Time) {
		return func(l *sitetest.Lookout, h hike.Hike, now time.Time) {
			if now.Sub(h.Start) == after {
				do(l, h, now)
			}
		}
	}
	return []fate{
		{"nobody answers", func(*sitetest.Lookout, hike.Hike, time.Time) {}, steps(sitetest.Ladder)},
		{"answered in time, and kept", func(l *sitetest.Lookout, h hike.Hike, now time.Time) {
			line := watch.Logged{Hike: h.ID, At: now, Kind: watch.LogNote, By: "on-call", Note: "still ringing"}
			switch since := now.Sub(h.Start) - afterWatch; {
			case since < 0 || since%(15*time.Minute) != 0:
				return
			case since == 0:
				line.Kind = watch.LogAcknowledged
			}
			if err := l.DB.AddToLog(context.Background(), line); err != nil {
				t.Error(err)
			}
		}, steps("watch widen call call-again")},
		{"back before the watch time", at(beforeWatch, (*sitetest.Lookout).Back), steps("")},
		{"back after the first step", at(afterWatch, (*sitetest.Lookout).Back),
			func(n int, start, _ time.Time) sitetest.Steps {
				return wantAfter(n, start, "watch").WithClear(n, start.Add(afterWatch))
			}},
		{"delay reported before the watch time", at(beforeWatch, func(l *sitetest.Lookout, h hike.Hike, now time.Time) {
			l.Record(h, party.KindDelayed, now, func(e *party.Event) { e.Minutes = 40 })
		}), func(n int, start, end time.Time) sitetest.Steps {
			const delay = 40 * time.Minute
			return wantAfter(n, start.Add(delay), sitetest.Ladder).WithCard(n, start, 1).
				WithCard(n, start.Add(beforeWatch), 2).WithRepeats(n, start.Add(delay+sitetest.Latest), end)
		}},
	}
}

// Hikes become overdue while two watchers run, whose passes are interrupted at random. Every
// step that the roll requires reaches every recipient once, with its time, and no other does.
func TestEveryStepOnceDespiteInterruptions(t *testing.T) {
	t.Parallel()
	hikes := 20
	switch {
	case sitetest.Long():
		hikes = 50
	case testing.Short():
		hikes = 10
	}
	l := sitetest.NewLookout(t)
	// Days ago, so that every hike has started by the clock of the database.
	begin := time.Now().Add(-48 * time.Hour).Truncate(time.Minute).UTC()
	clock := sitetest.NewClock(begin)
	all, list := fates(t), make([]hike.Hike, hikes)
	for i := range list {
		list[i] = l.Post(i, begin.Add(time.Duration(i%6)*5*time.Minute))
		l.Depart(list[i], list[i].Start)
	}
	dice := rand.New(rand.NewPCG(7, 11))
	cut := 0
	end := begin.Add(5*time.Hour + 20*time.Minute)
	for at := begin; at.Before(end); at = at.Add(5 * time.Minute) {
		if since := at.Sub(begin); since > 30*time.Minute && since < sitetest.Latest-10*time.Minute {
			continue // nothing is due
		}
		clock.Set(at)
		for i, h := range list {
			all[i%len(all)].play(l, h, at)
		}
		after := dice.Perm(60)[:2]
		if testing.Short() && at.Sub(begin)%(10*time.Minute) != 0 {
			after = nil // each interruption costs a connection, and every second tick has enough
		}
		cut += twoWatchers(t, l, clock, after)
	}
	for i, h := range list {
		f := all[i%len(all)]
		if got, want := l.LoggedSteps(t, h), f.want(i, h.Start, end); !got.Same(want) {
			t.Errorf("hike %d, %s:\n got %s\nwant %s", i, f.name, got.Since(begin), want.Since(begin))
		}
	}
	if cut < 20 {
		t.Errorf("only %d passes were cut off: the test shows little", cut)
	}
	l.OneMessageForEachLine(t)
	t.Logf("%d passes were cut off", cut)
}

// twoWatchers runs a pass of two watchers concurrently, interrupts them after so many
// milliseconds, and lets both run again to the end. It returns how many were interrupted.
func twoWatchers(t *testing.T, l *sitetest.Lookout, clock *sitetest.Clock, after []int) int {
	t.Helper()
	var cut atomic.Int64
	var passes sync.WaitGroup
	for _, ms := range after {
		passes.Go(func() {
			ctx, stop := context.WithTimeout(context.Background(), time.Duration(ms)*time.Millisecond)
			defer stop()
			if l.Watcher(clock.Now).Watch(ctx) != nil {
				cut.Add(1)
			}
		})
	}
	passes.Wait()
	for range 2 {
		passes.Go(func() {
			if err := l.Watcher(clock.Now).Watch(context.Background()); err != nil {
				t.Error(err)
			}
		})
	}
	passes.Wait()
	return int(cut.Load())
}

// After an outage everything overdue is sent at once and says how late it is.
func TestStepsAfterAnOutageSayHowLateTheyAre(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	start := time.Now().Add(-10 * time.Hour).Truncate(time.Minute)
	h := l.Post(1, start)
	l.Depart(h, start)
	l.Watch(sitetest.NewClock(start.Add(sitetest.Latest + 2*time.Hour)).Now)
	if got, want := l.LoggedSteps(t, h), wantAfter(1, start, sitetest.Ladder); !got.Same(want) {
		t.Errorf("got %s\nwant %s", got.Since(start), want.Since(start))
	}
	text := map[string]string{}
	for _, m := range mailsOf(t, l, message.ByAlarm) {
		text[strings.Split(m.Key, "/")[2]] += strings.Join(strings.Fields(m.Text), " ")
	}
	for step, want := range map[string]string{
		"watch": "2 h late", "call": "1 h late", "widen": "1 h 30 late", "card": "5 h late",
	} {
		if !strings.Contains(text[step], want) {
			t.Errorf("the mail of the step %s does not say %q:\n%s", step, want, text[step])
		}
	}
}

func mailsOf(t *testing.T, l *sitetest.Lookout, by message.Channel) []message.Mail {
	t.Helper()
	list, err := l.DB.OutboxOf(by).Recent(context.Background(), 100)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// A call for help is sent to everybody at once, before any watch time.
func TestCallForHelpIsSentAtOnce(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	start := time.Now().Add(-time.Hour)
	h := l.Post(1, start)
	l.Depart(h, start)
	sitetest.StartOn(t, l.DSN)
	asked := time.Now()
	l.Record(h, party.KindReported, asked, func(e *party.Event) { e.Trouble, e.Note = true, "fall, cannot walk" })
	for end := asked.Add(sitetest.Patience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		steps := l.LoggedSteps(t, h)
		if !steps["call/1 to oncall1@example.org"].IsZero() && !steps["call/1 to "+sitetest.Coordinator].IsZero() {
			t.Logf("on-call and the coordinator were told %v after the call", time.Since(asked).Round(time.Millisecond))
			return
		}
	}
	t.Errorf("told within %v: %s", sitetest.Patience, l.LoggedSteps(t, h).Since(asked))
}

// If on-call has no address and there is no deputy, the log says so, and somebody who can be
// reached is told instead.
func TestUnreachableOnCall(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	start := time.Now().Add(-sitetest.Latest - time.Minute)
	h := l.Post(1, start)
	sitetest.ChangeHike(t, l.DB, h.ID, func(h *hike.Hike) {
		h.OnCall, h.Deputy = team.Contact{Name: "Nobody Knows"}, team.Contact{}
	})
	l.Depart(h, start)
	l.Watch(time.Now)
	log, err := l.DB.WatchLog(context.Background(), h.ID)
	if err != nil {
		t.Fatal(err)
	}
	ways := map[string]string{}
	for _, e := range log {
		ways[string(e.Step)+" "+e.Recipient] = e.Channel
	}
	for to, want := range map[string]string{
		"watch Nobody Knows, no address":              "none",
		"watch Juniper Vale, " + sitetest.Coordinator: "mail",
	} {
		if ways[to] != want {
			t.Errorf("%s was told by %q, want %q; log %v", to, ways[to], want, ways)
		}
	}
}
