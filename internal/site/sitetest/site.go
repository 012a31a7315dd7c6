package sitetest

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"testing"
	"time"

	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/site"
)

// Site is a site that a test runs in its own process.
type Site struct {
	// Site does its jobs when a test asks, as with Watch or TendPlaces.
	*site.Site
	// URL is where it serves.
	URL string
	// DB is what it stores. A change made through it is heard by the site at once.
	DB *postgres.DB
	// DSN is for connections past DB, as to count rows.
	DSN string
}

// soon are short intervals, so that a test does not wait for a job.
var soon = site.Intervals{
	Watch:     100 * time.Millisecond,
	Deliver:   100 * time.Millisecond,
	Places:    100 * time.Millisecond,
	Reminders: time.Hour,
	Retention: time.Hour,
}

// Start runs a site with all its jobs on a copy of the fixture's database until the test
// ends. Change, if any, changes the options.
func Start(t testing.TB, f Fixture, change ...func(*site.Options)) *Site {
	t.Helper()
	return StartOn(t, pgtest.Migrated(t, f), change...)
}

// StartOn is Start on a database that is there already.
func StartOn(t testing.TB, dsn string, change ...func(*site.Options)) *Site {
	t.Helper()
	s := assemble(t, dsn, Open(t, dsn), change)
	s.serve(t, s.Site.Run)
	return s
}

// Pages serves the pages of a site and leaves its jobs to the test. Now is its clock.
func Pages(t testing.TB, f Fixture, now func() time.Time, change ...func(*site.Options)) *Site {
	t.Helper()
	dsn := pgtest.Migrated(t, f)
	return PagesOn(t, dsn, Open(t, dsn), now, change...)
}

// PagesOn is Pages on a database that is there already.
func PagesOn(t testing.TB, dsn string, db *postgres.DB, now func() time.Time, change ...func(*site.Options)) *Site {
	t.Helper()
	byClock := func(o *site.Options) { o.Now = now }
	s := assemble(t, dsn, db, append([]func(*site.Options){byClock}, change...))
	s.serve(t, s.Site.Serve)
	return s
}

func assemble(t testing.TB, dsn string, db *postgres.DB, change []func(*site.Options)) *Site {
	t.Helper()
	o := site.Options{
		Listen:    "127.0.0.1:0",
		Hasher:    Hasher(),
		LocalPush: true,
		Intervals: soon,
		Log:       slog.New(slog.NewTextHandler(newLogged(t), &slog.HandlerOptions{Level: slog.LevelError})),
	}
	for _, c := range change {
		c(&o)
	}
	made, err := site.New(context.Background(), &site.Database{DB: db}, o)
	if err != nil {
		t.Fatal(err)
	}
	return &Site{Site: made, URL: made.Address(), DB: db, DSN: dsn}
}

// serve runs the site until the test ends.
func (s *Site) serve(t testing.TB, run func(context.Context) error) {
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- run(ctx) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil && !errors.Is(err, context.Canceled) {
			t.Errorf("the site ended with: %v", err)
		}
	})
}

// logged shows what a site logs as an error, with the test that it belongs to.
type logged struct {
	t    testing.TB
	mu   sync.Mutex
	over bool
}

func newLogged(t testing.TB) *logged {
	l := &logged{t: t}
	t.Cleanup(func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		l.over = true // a test that has ended takes no more lines
	})
	return l
}

func (l *logged) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !l.over {
		l.t.Logf("site: %s", p)
	}
	return len(p), nil
}
