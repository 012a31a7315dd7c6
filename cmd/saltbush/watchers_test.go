package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/watch"
)

// chaos is how long processes are killed, and how many hikes go overdue meanwhile.
func chaos() (span time.Duration, hikes int) {
	if sitetest.Long() {
		return time.Minute, 200
	}
	return 8 * time.Second, 90
}

// Two real processes and their database are killed at random while hikes go overdue. Every
// step reaches every recipient once by the log, and each mail and text arrives at least once,
// under one name.
func TestKilledWatchersSendEveryStepOnce(t *testing.T) {
	t.Parallel()
	needsPrograms(t)
	base := newMortal(t)
	if err := sitetest.Watched(context.Background(), base.dsn()); err != nil {
		t.Fatal(err)
	}
	l := sitetest.NewLookoutOn(t, base.dsn())
	gate, hook := newGateway(t)
	office := newPostOffice(t)
	span, hikes := chaos()
	dice := rand.New(rand.NewPCG(3, 5))
	// Each hike comes to one step of its ladder while processes are killed. The steps before
	// that are overdue when the first process starts, as after an outage.
	steps := strings.Fields(sitetest.Ladder)
	after := []time.Duration{0, 10, 20, 30, 60, 70} // minutes
	list := make([]hike.Hike, hikes)
	// Steps are due on whole minutes. Storing the hikes takes a while, too.
	begin := time.Now().Add(5 * time.Second).Truncate(time.Minute).Add(time.Minute)
	for i := range list {
		due := begin.Add(time.Duration(dice.Int64N(int64(span)))).Truncate(time.Minute)
		list[i] = l.Post(i, due.Add(-sitetest.Latest-after[i%len(after)]*time.Minute).Truncate(time.Microsecond))
		l.Depart(list[i], list[i].Start)
	}
	args := append(hook, office.args()...)
	time.Sleep(time.Until(begin.Add(-3 * time.Second)))
	seen := killAtRandom(t, dice, begin.Add(span), base, append(args, "--database-url", base.dsn()))
	awaitQuiet(t, l, 90*time.Second)
	var late []time.Duration
	for i, h := range list {
		want := sitetest.WantSteps(i, h.Start.Add(sitetest.Latest), strings.Join(steps[:i%len(steps)+1], " "))
		want = want.WithCard(i, h.Start, 1)
		if got := l.LoggedSteps(t, h); !got.Same(want) {
			t.Errorf("hike %d:\n got %s\nwant %s", i, got.Since(begin), want.Since(begin))
		}
		late = append(late, lateness(t, l, h, seen.up)...)
	}
	l.OneMessageForEachLine(t)
	gate.check(t, l)
	office.check(t, l)
	t.Logf("%d hikes; processes were killed %d times, the database %d times; steps came, after their time or "+
		"after the first start where that was later, within: %s", hikes, seen.kills, seen.baseKills,
		sitetest.Spread(late))
	// The figure above is what counts; this only tells late from never on a machine that does
	// much else.
	if last := slices.Max(append(late, 0)); last > time.Minute {
		t.Errorf("a step came %v late, want under a minute", last)
	}
}

// lateness lists how late the steps came, from their time on or from when the program was
// first there to carry them out.
func lateness(t *testing.T, l *sitetest.Lookout, h hike.Hike, up time.Time) (late []time.Duration) {
	t.Helper()
	log, err := l.DB.WatchLog(context.Background(), h.ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range log {
		if e.Kind == watch.LogStep {
			late = append(late, min(e.LateBy, e.At.Sub(up)))
		}
	}
	return late
}

// killed is what was killed, and when the first process was up.
type killed struct {
	up               time.Time
	kills, baseKills int
}

// killAtRandom keeps two processes and their database running until the end, killing one or
// another, and leaves all running. A process that starts is given a database to start on.
func killAtRandom(t *testing.T, dice *rand.Rand, end time.Time, base *mortal, args []string) (k killed) {
	t.Helper()
	start := func() process { return startProcess(t, append([]string{"serve"}, args...)...) }
	two := []process{start()}
	k.up = time.Now()
	two = append(two, start())
	for time.Now().Before(end) || k.kills < 3 || k.baseKills < 1 {
		time.Sleep(time.Duration(100+dice.IntN(1200)) * time.Millisecond)
		i := dice.IntN(3)
		if i == 2 {
			base.kill(time.Duration(dice.IntN(800)) * time.Millisecond)
			k.baseKills++
			continue
		}
		two[i].kill(t)
		k.kills++
		two[i] = start()
	}
	return k
}

// awaitQuiet waits until no step is due and no message waits.
func awaitQuiet(t *testing.T, l *sitetest.Lookout, longest time.Duration) {
	t.Helper()
	for end := time.Now().Add(longest); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		due := l.Pairs(`SELECT hike_id::text, step FROM watch_rungs WHERE state = 'waiting' AND look <= now()`)
		queued := l.Pairs(`SELECT key, '' FROM outbox WHERE channel IN ('webhook', 'alarm') AND state = 'queued'`)
		p, err := l.DB.Pulse(context.Background(), time.Now())
		if err == nil && len(due)+len(queued) == 0 && time.Since(p.Passed) < 3*time.Second {
			return
		}
	}
	t.Error("steps or messages are still waiting")
}

// arrivals counts what came to a receiver of messages. The first arrival of a message may be
// refused for now, hang, or be taken without an answer, so that it arrives twice.
type arrivals struct {
	met   map[string]int // all arrivals, by the message's own name
	taken map[string]int // those that were taken
	moods map[mood]int
}

type mood string

// What happens to an arrival.
const (
	takes       mood = "takes"
	fails       mood = "fails"
	hangs       mood = "hangs"
	losesAnswer mood = "loses its answer"
)

func newArrivals() arrivals {
	return arrivals{met: map[string]int{}, taken: map[string]int{}, moods: map[mood]int{}}
}

// mood is what happens to the arrival of a message. The very first hangs; of the first
// arrivals one in four fails and one in four loses its answer, by the letter.
func (a arrivals) mood(name string, letter byte) mood {
	a.met[name]++
	m := takes
	switch {
	case a.moods[hangs] == 0:
		m = hangs
	case a.met[name] > 1:
	case letter%4 == 0:
		m = fails
	case letter%4 == 1:
		m = losesAnswer
	}
	a.moods[m]++
	if m == takes || m == losesAnswer {
		a.taken[name]++
	}
	return m
}

// check holds the receiver to the outbox: every message of the channel was sent and taken,
// and enough went wrong.
func (a arrivals) check(t *testing.T, l *sitetest.Lookout, by message.Channel) (sent int) {
	t.Helper()
	twice := 0
	for _, n := range a.taken {
		if n > 1 {
			twice++
		}
	}
	list := l.Pairs(fmt.Sprintf(`SELECT key, state FROM outbox WHERE channel = '%s'`, by))
	for k := range list {
		if k[1] != string(message.Sent) {
			t.Errorf("%s %s is %s, want sent", by, k[0], k[1])
		}
	}
	t.Logf("%s: %d messages, %d arrived, %d of them twice; %v", by, len(list), len(a.taken), twice, a.moods)
	if len(a.taken) != len(list) {
		t.Errorf("%s: %d arrived, want %d", by, len(a.taken), len(list))
	}
	if twice == 0 || a.moods[fails] == 0 || a.moods[hangs] == 0 {
		t.Errorf("%s: %d came twice, %v: too little went wrong for the test to show anything", by, twice, a.moods)
	}
	return len(list)
}
