package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/watch"
)

const hookSecret = "a secret for tests only"

// gateway is an organisation's receiver of texts. The first arrival of a message may fail,
// hang, or be taken without an answer, so that it arrives twice.
type gateway struct {
	t    *testing.T
	mu   sync.Mutex
	seen map[string]int // arrivals that were taken, by key
	met  map[string]int // all arrivals, by key
	bad  map[string]int // what went wrong, by kind
	hung bool
}

func newGateway(t *testing.T) (*gateway, *httptest.Server) {
	g := &gateway{t: t, seen: map[string]int{}, met: map[string]int{}, bad: map[string]int{}}
	s := httptest.NewServer(g)
	t.Cleanup(s.Close)
	return g, s
}

func (g *gateway) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return // the sender was killed in the middle
	}
	stamp := r.Header.Get(message.HookTime)
	if got, want := r.Header.Get(message.HookSign), message.SignHook([]byte(hookSecret), stamp, body); got != want {
		g.t.Errorf("signature %q, want %q", got, want)
	}
	if at, err := strconv.ParseInt(stamp, 10, 64); err != nil || time.Since(time.Unix(at, 0)).Abs() > time.Minute {
		g.t.Errorf("signed at %q, %v; want within a minute", stamp, err)
	}
	var text struct{ Key, To, Text string }
	if err := json.Unmarshal(body, &text); err != nil || text.Key != r.Header.Get(message.HookKey) || text.To == "" || text.Text == "" {
		g.t.Errorf("body %s, %v", body, err)
	}
	switch g.mood(text.Key) {
	case "fails":
		http.Error(w, "not now", http.StatusServiceUnavailable)
	case "hangs":
		<-r.Context().Done()
	case "loses its answer":
		g.take(text.Key)
		panic(http.ErrAbortHandler) // closes the connection
	default:
		g.take(text.Key)
	}
}

// mood is what happens to an arrival: one of four of the first ones fails, one loses its
// answer, and the very first hangs.
func (g *gateway) mood(key string) string {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.met[key]++
	mood := ""
	switch sum := []byte(key); {
	case !g.hung:
		g.hung, mood = true, "hangs"
	case g.met[key] > 1:
	case sum[len(sum)-len("/webhook")-1]%4 == 0:
		mood = "fails"
	case sum[len(sum)-len("/webhook")-1]%4 == 1:
		mood = "loses its answer"
	}
	g.bad[mood]++
	return mood
}

func (g *gateway) take(key string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.seen[key]++
}

func (g *gateway) taken() map[string]int {
	g.mu.Lock()
	defer g.mu.Unlock()
	all := map[string]int{}
	for k, n := range g.seen {
		all[k] = n
	}
	return all
}

// chaos is how long processes are killed: short in the ordinary run, longer where asked.
func chaos(t *testing.T) time.Duration {
	if text := os.Getenv("SALTBUSH_TEST_WATCH_FOR"); text != "" {
		d, err := time.ParseDuration(text)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	return 12 * time.Second
}

// Two real processes and their database are killed at random while 200 hikes go overdue.
// Every step reaches every recipient once by the log, and each mail and text arrives at
// least once, under one name.
func TestKilledWatchersSendEveryStepOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("takes most of a minute")
	}
	base := newMortal(t)
	l := newLookoutOn(t, base.dsn())
	g, server := newGateway(t)
	office := newPostOffice(t)
	span := chaos(t)
	dice := rand.New(rand.NewPCG(3, 5))
	// Each hike comes to one step of its ladder while processes are killed; the steps
	// before that are overdue when the first process starts, as after an outage.
	steps := strings.Fields(everyStep)
	after := []time.Duration{0, 10 * time.Minute, 20 * time.Minute, 30 * time.Minute, 60 * time.Minute, 70 * time.Minute}
	const hikes = 200
	list := make([]hike.Hike, hikes)
	setUp := 4 * time.Second // making them takes a while, too
	begin := time.Now().Add(setUp)
	for i := range list {
		due := begin.Add(time.Duration(dice.Int64N(int64(span))))
		list[i] = l.post(i, due.Add(-latest-after[i%len(after)]).Truncate(time.Microsecond))
		l.depart(list[i], list[i].Start)
	}
	up, kills, baseKills := killAtRandom(t, dice, begin.Add(span), base, "serve", "--listen", "127.0.0.1:0", "--database-url", base.dsn(),
		"--webhook-url", server.URL, "--webhook-secret", hookSecret,
		"--smtp-host", "127.0.0.1", "--smtp-port", office.port, "--smtp-encryption", "none", "--smtp-from", "hikes@example.org")
	l.awaitQuiet(t, 90*time.Second)
	var late []time.Duration
	for i, h := range list {
		all := want(i, h.Start.Add(latest), strings.Join(steps[:i%len(steps)+1], " "))
		for _, to := range []string{fmt.Sprintf("oncall%d@example.org", i), "leader4@example.org"} {
			all["card/1 to "+to] = h.Start
		}
		if got := sent(t, l, h); !sameTimes(got, all) {
			t.Errorf("hike %d:\n got %s\nwant %s", i, inWords(got, begin), inWords(all, begin))
		}
		late = append(late, l.lateness(t, h, up)...)
	}
	l.oneMailForEachLine(t)
	l.eachTextArrives(t, g, kills)
	l.eachMailArrives(t, office)
	t.Logf("%d hikes; processes killed %d times, the database %d times; steps came, after their time or after the first start where that was later, within: %s",
		hikes, kills, baseKills, spreadOf(late))
	if baseKills == 0 {
		t.Error("the database was never killed")
	}
	// The figure above is what counts; this only tells late from never on a machine that
	// does much else.
	if last := slices.Max(append(late, 0)); last > time.Minute {
		t.Errorf("a step came %v late", last)
	}
}

// lateness lists how late the steps came, from their time on or from when the program was
// first there to carry them out.
func (l *lookout) lateness(t *testing.T, h hike.Hike, up time.Time) (late []time.Duration) {
	t.Helper()
	log, err := l.db.WatchLog(context.Background(), h.ID)
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

// eachMailArrives holds the mail server to the outbox: every alarm was taken, and those
// that were taken twice had one name.
func (l *lookout) eachMailArrives(t *testing.T, office *postOffice) {
	t.Helper()
	mails := l.pairs(`SELECT key, state FROM outbox WHERE channel = 'alarm'`)
	for k := range mails {
		if k[1] != string(message.Sent) {
			t.Errorf("mail %s is %s", k[0], k[1])
		}
	}
	names, twice, bad := office.taken()
	t.Logf("%d mails, %d names arrived, %d of them twice; the mail server: %v", len(mails), names, twice, bad)
	if names != len(mails) || twice == 0 || bad["fails"] == 0 || bad["hangs"] == 0 {
		t.Errorf("%d mails in the outbox, %d arrived by name, %d twice, %v", len(mails), names, twice, bad)
	}
}

// eachTextArrives holds the gateway to the outbox.
func (l *lookout) eachTextArrives(t *testing.T, g *gateway, kills int) {
	t.Helper()
	texts, taken, twice := l.pairs(`SELECT key, state FROM outbox WHERE channel = 'webhook'`), g.taken(), 0
	for k := range texts {
		if k[1] != string(message.Sent) || taken[k[0]] == 0 {
			t.Errorf("text %s is %s and was taken %d times", k[0], k[1], taken[k[0]])
		}
		if taken[k[0]] > 1 {
			twice++
		}
		delete(taken, k[0])
	}
	for k := range taken {
		t.Errorf("text %s arrived and is not in the outbox", k)
	}
	t.Logf("%d kills; %d texts, all arrived, %d of them twice; the gateway: %v", kills, len(texts), twice, g.bad)
	if kills < 3 || twice == 0 || g.bad["fails"] == 0 || g.bad["hangs"] == 0 {
		t.Error("too little went wrong for the test to show anything")
	}
}

// killAtRandom keeps two processes and their database running until the end, killing one
// or another, and leaves all running. It returns when the first was up. A process that starts is given a database to start
// on.
func killAtRandom(t *testing.T, dice *rand.Rand, end time.Time, base *mortal, args ...string) (up time.Time, kills, baseKills int) {
	t.Helper()
	two := []process{startProcess(t, args...)}
	up = time.Now()
	two = append(two, startProcess(t, args...))
	for time.Now().Before(end) {
		time.Sleep(time.Duration(100+dice.IntN(1200)) * time.Millisecond)
		i := dice.IntN(3)
		if i == 2 {
			base.kill(time.Duration(dice.IntN(800)) * time.Millisecond)
			baseKills++
			continue
		}
		if err := two[i].cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = two[i].cmd.Wait() // it was killed
		kills++
		two[i] = startProcess(t, args...)
	}
	return up, kills, baseKills
}

// awaitQuiet waits until no step is due and no message waits.
func (l *lookout) awaitQuiet(t *testing.T, most time.Duration) {
	t.Helper()
	for end := time.Now().Add(most); time.Now().Before(end); time.Sleep(200 * time.Millisecond) {
		due := l.pairs(`SELECT hike_id::text, step FROM watch_rungs WHERE state = 'waiting' AND look <= now()`)
		queued := l.pairs(`SELECT key, '' FROM outbox WHERE channel IN ('webhook', 'alarm') AND state = 'queued'`)
		p, err := l.db.Pulse(context.Background(), time.Now())
		if err == nil && len(due)+len(queued) == 0 && time.Since(p.Passed) < 3*time.Second {
			return
		}
	}
	t.Error("steps or messages are still waiting")
}
