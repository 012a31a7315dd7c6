package watch_test

import (
	"context"
	"net/http"
	"saltbush/internal/party"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/watch"
)

// crowd is how much is put on the board.
type crowd struct {
	parties, people, browsers, eventsPerSecond int
	span                                       time.Duration
}

// sizeOfCrowd is a small crowd, and in the long form the largest that we build for.
func sizeOfCrowd() crowd {
	if sitetest.Long() {
		return crowd{parties: 500, people: 6000, browsers: 100, eventsPerSecond: 50, span: 20 * time.Second}
	}
	return crowd{parties: 20, people: 120, browsers: 5, eventsPerSecond: 20, span: time.Second}
}

// Every browser on the board hears of changes while many phones record. The test reports how
// long the page takes, against the time of its query, and how soon a browser hears.
func TestBoardUnderLoad(t *testing.T) {
	if !sitetest.Long() { // the long form needs the machine for itself
		t.Parallel()
	}
	c := sizeOfCrowd()
	l := sitetest.NewLookout(t)
	fillBoard(t, l, c)
	s := sitetest.StartOn(t, l.DSN)
	v := s.SignIn(t, sitetest.Coordinator)
	v.Get("/board").Want(http.StatusOK) // the first drawing loads everything
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	heard := listen(ctx, s.URL+"/board/stream", v.Client().Jar, c.browsers)
	recorded := record(ctx, t, l, c)
	heard.all(t) // a crowd that watches, not one that arrives
	pages, size := openBoard(v, c.span)
	stop()
	recorded.wait.Wait()
	query := queryAlone(t, l, 20)
	slices.Sort(pages)
	half, most := pages[len(pages)/2], pages[len(pages)*99/100]
	t.Logf("%d parties, %d people, %d browsers, %d records in %v",
		c.parties, c.people, c.browsers, recorded.count.Load(), c.span)
	t.Logf("page of the board (%d kB): %s", size/1024, sitetest.Spread(pages))
	t.Logf("its query alone: %v; the page takes %.2f times that (median), %.2f times (99 in 100)",
		query.Round(10*time.Microsecond), half.Seconds()/query.Seconds(), most.Seconds()/query.Seconds())
	t.Logf("browsers heard %d messages, %d kB each on average; gaps between messages %s",
		heard.messages.Load(), heard.bytes.Load()/max(1, heard.messages.Load())/1024, heard.spread())
	if got := heard.silent(); got > 0 {
		t.Errorf("%d browsers heard nothing, want none", got)
	}
}

// fillBoard puts parties on the trail, with so many people in all.
func fillBoard(t *testing.T, l *sitetest.Lookout, c crowd) {
	t.Helper()
	ctx := context.Background()
	for i := range c.parties {
		ago := time.Hour + time.Duration(i%170)*time.Minute
		h := l.Post(i, time.Now().Add(-ago).Truncate(time.Second))
		addWalkers(t, l, h, c.people/c.parties-len(h.Staff))
		rec, err := l.DB.Record(ctx, h.ID)
		if err != nil {
			t.Fatal(err)
		}
		l.Record(h, party.KindDeparted, h.Start, func(e *party.Event) {
			for _, x := range rec.Roster {
				e.Persons = append(e.Persons, x.ID)
			}
			e.Number, e.Place = len(e.Persons), "trailhead"
		})
	}
}

// addWalkers stores confirmed places with one statement.
func addWalkers(t *testing.T, l *sitetest.Lookout, h hike.Hike, n int) {
	t.Helper()
	_, err := l.DB.Pool().Exec(context.Background(), `
		INSERT INTO signups (
			id, hike_id, state, name, email, mobile, emergency_name, emergency_phone, longest_walk,
			hot_days, water_l, minor, acknowledged, asked, link
		)
		SELECT
			gen_random_uuid(), $1::bigint, 'confirmed', 'Walker ' || n, 'w@example.org', '602-555-0100', 'Home',
			'602-555-0101', '10 km', 3, 3, false, true, now(), convert_to($1::bigint::text || ' ' || n, 'UTF8')
		FROM generate_series(1, $2::int) AS n`, int64(h.ID), n)
	if err != nil {
		t.Fatal(err)
	}
}

// recording is what a crowd of phones records.
type recording struct {
	wait  sync.WaitGroup
	count atomic.Int64
}

// record has four phones record counts past the site, as through another instance.
func record(ctx context.Context, t *testing.T, l *sitetest.Lookout, c crowd) *recording {
	t.Helper()
	cases, err := watch.NewCaseCache(l.DB, nil).Cases(ctx, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	const phones = 4
	r := &recording{}
	for k := range phones {
		r.wait.Go(func() {
			tick := time.NewTicker(time.Second * phones / time.Duration(c.eventsPerSecond))
			defer tick.Stop()
			for i := k; ; i += phones {
				select {
				case <-ctx.Done():
					return
				case <-tick.C:
				}
				x := cases.List[(i*7)%len(cases.List)]
				e := countOf(x.State.Expected)
				if _, err := l.DB.Append(context.WithoutCancel(ctx), x.Hike.ID, []party.Event{e}, e.At); err != nil {
					t.Error(err)
					return
				}
				r.count.Add(1)
			}
		})
	}
	return r
}

func countOf(n int) party.Event {
	return party.Event{
		ID:     party.EventID(uuid.NewString()),
		Kind:   party.KindCounted,
		At:     time.Now(),
		By:     "Leader 1",
		Place:  "Notch Junction",
		Along:  900,
		Number: n,
		Sweep:  n,
	}
}

// openBoard opens the board ten times a second, and returns how long each took.
func openBoard(v *sitetest.Visitor, span time.Duration) (took []time.Duration, size int) {
	for end := time.Now().Add(span); time.Now().Before(end); {
		from := time.Now()
		page := v.Get("/board").Want(http.StatusOK)
		took, size = append(took, time.Since(from)), len(page.Body)
		time.Sleep(max(0, 100*time.Millisecond-time.Since(from)))
	}
	return took, size
}

// queryAlone is the median time of loading what the board shows in one query, with nothing
// folded or drawn.
func queryAlone(t *testing.T, l *sitetest.Lookout, times int) time.Duration {
	t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, l.DSN)
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
