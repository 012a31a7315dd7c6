package main

import (
	"bufio"
	"context"
	"net/http"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// crowd is how much is put on the board.
type crowd struct {
	parties, people, browsers, eventsPerSecond int
	span                                       time.Duration
}

// The board under load: a small crowd in the ordinary run; with SALTBUSH_TEST_LOAD set, 500
// parties of 12, 100 browsers and 50 records a second. It reports how long a page takes and
// how soon a browser hears of a change, and holds the watchers to hearing of every party.
func TestBoardUnderLoad(t *testing.T) {
	c := crowd{parties: 40, people: 240, browsers: 10, eventsPerSecond: 20, span: 2 * time.Second}
	if os.Getenv("SALTBUSH_TEST_LOAD") != "" {
		c = crowd{parties: 500, people: 6000, browsers: 100, eventsPerSecond: 50, span: 20 * time.Second}
	}
	l := newLookout(t)
	l.letIn(coordinatorMail)
	l.fill(c)
	p := serve(t, "serve", "--database-url", l.dsn)
	client := p.signIn(t, coordinatorMail)
	get(t, client, p.base+"/board") // the first drawing loads everything
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	w := newWatchers(t, ctx, p, client, c.browsers)
	recorded := l.keepRecording(ctx, c)
	w.connected(t) // a crowd that watches, not one that arrives
	pages, sizes := l.keepLooking(t, client, p.base+"/board", c.span)
	stop()
	total := recorded.Wait()
	query := l.queryAlone(t, 20)
	slices.Sort(pages)
	p50, p99 := pages[len(pages)/2], pages[len(pages)*99/100]
	t.Logf("%d parties, %d people, %d browsers, %d records in %v", c.parties, c.people, c.browsers, total, c.span)
	t.Logf("page of the board (%d kB): %s", sizes/1024, spreadOf(pages))
	t.Logf("its query alone: %v; the page takes %.2f times that (median), %.2f times (99 in 100)", query.Round(10*time.Microsecond),
		p50.Seconds()/query.Seconds(), p99.Seconds()/query.Seconds())
	t.Logf("browsers heard %d messages, %d kB each on average; gaps between messages %s", w.messages.Load(), w.bytes.Load()/max(1, w.messages.Load())/1024, w.spread())
	if silent := w.silent(); silent > 0 {
		t.Errorf("%d browsers heard nothing", silent)
	}
}

// fill puts parties on the trail, with as many people in all.
func (l *lookout) fill(c crowd) {
	l.t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, l.dsn)
	if err != nil {
		l.t.Fatal(err)
	}
	defer conn.Close(ctx)
	for i := range c.parties {
		h := l.post(i, time.Now().Add(-time.Hour-time.Duration(i%170)*time.Minute).Truncate(time.Second))
		walkers := c.people/c.parties - len(h.Staff)
		if _, err := conn.Exec(ctx, `
			INSERT INTO signups (id, hike_id, state, name, email, mobile, emergency_name, emergency_phone, longest_walk, hot_days, water_l, minor, acknowledged, asked, link)
			SELECT gen_random_uuid(), $1::bigint, 'confirmed', 'Walker ' || n, 'w@example.org', '602-555-0100', 'Home', '602-555-0101', '10 km', 3, 3, false, true, now(), convert_to($1::bigint::text || ' ' || n, 'UTF8')
			FROM generate_series(1, $2::int) AS n`, int64(h.ID), walkers); err != nil {
			l.t.Fatal(err)
		}
		rec, err := l.db.Record(ctx, h.ID)
		if err != nil {
			l.t.Fatal(err)
		}
		l.record(h, roll.KindDeparted, h.Start, func(e *roll.Event) {
			for _, x := range rec.Roster {
				e.Persons = append(e.Persons, x.ID)
			}
			e.Number, e.Place = len(e.Persons), "trailhead"
		})
	}
}

// connected waits until every browser has heard of a change.
func (w *watchers) connected(t *testing.T) {
	t.Helper()
	for start := time.Now(); w.silent() > 0; time.Sleep(50 * time.Millisecond) {
		if time.Since(start) > 30*time.Second {
			t.Fatalf("%d browsers heard nothing", w.silent())
		}
	}
}

// recording counts what a crowd of phones recorded.
type recording struct {
	wg sync.WaitGroup
	n  atomic.Int64
}

// Wait returns how many there were, once they have stopped.
func (r *recording) Wait() int64 { r.wg.Wait(); return r.n.Load() }

// keepRecording stores counts from a pool of its own, as another instance would.
func (l *lookout) keepRecording(ctx context.Context, c crowd) *recording {
	r := &recording{}
	cases, err := watch.NewCaseCache(l.db, nil).Cases(ctx, time.Now())
	if err != nil {
		l.t.Fatal(err)
	}
	for k := range 4 {
		r.wg.Go(func() {
			tick := time.NewTicker(time.Second * 4 / time.Duration(c.eventsPerSecond))
			defer tick.Stop()
			for i := k; ; i += 4 {
				select {
				case <-ctx.Done():
					return
				case <-tick.C:
				}
				x := cases.List[(i*7)%len(cases.List)]
				e := roll.Event{ID: roll.EventID(uuid.NewString()), Kind: roll.KindCounted, At: time.Now(), By: "Leader 1", Place: "Notch Junction", Along: 900,
					Number: x.State.Expected, Sweep: x.State.Expected}
				if _, err := l.db.Append(context.WithoutCancel(ctx), x.Hike.ID, []roll.Event{e}, time.Now()); err != nil {
					l.t.Error(err)
					return
				}
				r.n.Add(1)
			}
		})
	}
	return r
}

// keepLooking opens the board ten times a second and returns how long each took.
func (l *lookout) keepLooking(t *testing.T, c *http.Client, address string, span time.Duration) (took []time.Duration, size int) {
	t.Helper()
	for end := time.Now().Add(span); time.Now().Before(end); {
		from := time.Now()
		status, page := get(t, c, address)
		took, size = append(took, time.Since(from)), len(page)
		if status != http.StatusOK {
			t.Fatalf("the board answers %d", status)
		}
		time.Sleep(max(0, 100*time.Millisecond-time.Since(from)))
	}
	return took, size
}

// queryAlone is the median time of loading what the board shows, with nothing folded or
// drawn: all in one query.
func (l *lookout) queryAlone(t *testing.T, times int) time.Duration {
	t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, l.dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	var took []time.Duration
	for range times {
		from := time.Now()
		rows, _ := conn.Query(ctx, `
			SELECT
				h.*,
				t.name,
				(SELECT result FROM plans p WHERE p.hike_id = h.id ORDER BY p.id DESC LIMIT 1),
				(SELECT json_agg(s.name) FROM signups s WHERE s.hike_id = h.id AND s.state = 'confirmed'),
				(SELECT json_agg(e.body ORDER BY e.seq) FROM roll_events e WHERE e.hike_id = h.id),
				(SELECT json_agg(g.at ORDER BY g.id) FROM watch_log g WHERE g.hike_id = h.id)
			FROM hikes h JOIN trails t ON t.id = h.trail_id
			WHERE h.state IN ('out', 'back') OR (h.state = 'posted' AND h.meet < now())
			ORDER BY h.start, h.id`)
		for rows.Next() {
			_ = rows.RawValues()
		}
		if rows.Err() != nil {
			t.Fatal(rows.Err())
		}
		took = append(took, time.Since(from))
	}
	slices.Sort(took)
	return took[len(took)/2]
}

// watchers are browsers that keep the board open.
type watchers struct {
	messages, bytes atomic.Int64
	mu              sync.Mutex
	heard           []int
	gaps            []time.Duration
}

func newWatchers(t *testing.T, ctx context.Context, p program, c *http.Client, n int) *watchers {
	t.Helper()
	w := &watchers{heard: make([]int, n)}
	many := &http.Client{Jar: c.Jar, Transport: &http.Transport{MaxConnsPerHost: 0}}
	for i := range n {
		go w.listen(ctx, p.base+"/board/stream", many, i)
	}
	return w
}

func (w *watchers) listen(ctx context.Context, address string, c *http.Client, i int) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return
	}
	res, err := c.Do(req)
	if err != nil {
		return
	}
	defer res.Body.Close()
	last, in := time.Now(), bufio.NewReaderSize(res.Body, 1<<16)
	for {
		line, err := in.ReadString('\n')
		w.bytes.Add(int64(len(line)))
		if err != nil {
			return
		}
		if !strings.HasPrefix(line, "id: ") {
			continue
		}
		w.messages.Add(1)
		w.mu.Lock()
		w.heard[i]++
		w.gaps = append(w.gaps, time.Since(last))
		w.mu.Unlock()
		last = time.Now()
	}
}

func (w *watchers) spread() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return spreadOf(w.gaps)
}

func (w *watchers) silent() (n int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, k := range w.heard {
		if k == 0 {
			n++
		}
	}
	return n
}
