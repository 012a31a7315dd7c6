package site

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"maps"
	"os"
	"sync"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/notify"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
)

// watcher carries out the steps of every watch when they are due. Any number of instances
// may run against one database, and any of them may be killed at any time.
type watcher struct {
	db       *postgres.DB
	standing *watch.CaseCache // every running watch, shared with the board
	base     string           // the start of links in messages
	phones   bool             // text messages can be sent
	beat     *heartbeat       // nil for none
	trails   trailCache
	// parked is where the cars of one-way hikes are, as of parkedRead, like the trails.
	parked     map[ref.Hike]ride.ParkedCars
	parkedRead time.Time
	name       string // of this instance, for the pulse
	clock      func() time.Time
	log        *slog.Logger
}

// newWatcher returns the watcher of a site, which caches trails between passes.
func (s *Site) newWatcher() *watcher {
	host, _ := os.Hostname() // without a name, the process id identifies it
	return &watcher{
		db:       s.db.DB,
		standing: s.standing,
		base:     s.base,
		phones:   s.hook != nil,
		beat:     s.beat,
		name:     fmt.Sprintf("%s/%d", host, os.Getpid()),
		clock:    s.now,
		log:      s.log,
	}
}

const (
	// watchEvery is how often all watches are checked if no roll changes. A changed roll, such
	// as by a call for help, is checked at once. Our judgment.
	watchEvery = 2 * time.Second
	// watchRest is how long changes are collected.
	// Our judgment: nobody who waits for help notices a third of a second.
	watchRest = 300 * time.Millisecond
)

// watching returns the job of the watcher. Its first pass carries out what was due while no
// watcher ran. The caller must call end.
func (s *Site) watching() (j job, end func()) {
	signal, end := s.changes.Subscribe()
	return job{name: "go through the watches", each: s.intervals.Watch, do: s.Watch, wake: signal, rest: watchRest}, end
}

// Watch arms the steps of every watch and carries out those that are due.
func (s *Site) Watch(ctx context.Context) error { return s.watcher.pass(ctx) }

// pass arms the steps of every watch and carries out those that are due. It stores the pulse
// only at its end, so that a pass that hangs is noticed.
func (w *watcher) pass(ctx context.Context) error {
	now := w.clock()
	cases, err := w.standing.Cases(ctx, now)
	if err != nil {
		return err
	}
	facts, err := w.facts(ctx, cases.List)
	if err != nil {
		return err
	}
	if err := w.db.Arm(ctx, cases.List, now); err != nil {
		return err
	}
	tell := func(f watch.Firing) (postgres.Told, error) {
		return postgres.Told(facts.Notice(f)), nil
	}
	failed, err := w.fireAll(ctx, tell)
	if err != nil {
		return err
	}
	if err := w.db.Beat(ctx, w.clock(), w.name, failed); err != nil {
		return err
	}
	return w.sendHeartbeat(ctx)
}

// parallelism is how many steps are carried out concurrently.
// Our judgment: after an outage hundreds are due, and each mostly waits for the database.
const parallelism = 4

// tellFunc composes the messages of a step that is due.
type tellFunc func(watch.Firing) (postgres.Told, error)

// fireAll carries out all steps that are due, and returns how many could not be.
func (w *watcher) fireAll(ctx context.Context, tell tellFunc) (failed int, err error) {
	var mu sync.Mutex
	var wg sync.WaitGroup
	for range parallelism {
		wg.Go(func() {
			bad, stopped := w.fireDue(ctx, tell)
			mu.Lock()
			defer mu.Unlock()
			failed, err = failed+bad, errors.Join(err, stopped)
		})
	}
	wg.Wait()
	return failed, err
}

func (w *watcher) fireDue(ctx context.Context, tell tellFunc) (failed int, err error) {
	for {
		worked, err := w.db.FireNext(ctx, w.clock(), tell)
		if err != nil && !worked {
			return failed, err
		}
		if err != nil {
			failed++
			w.log.Error("carry out a step", "err", err)
		}
		if !worked {
			return failed, nil
		}
	}
}

// facts loads what the messages of one pass are composed from.
func (w *watcher) facts(ctx context.Context, cases []watch.Case) (notify.WatchFacts, error) {
	f := notify.WatchFacts{BaseURL: w.base, Contacts: watch.Book{Phones: w.phones}}
	var err error
	if f.House, err = w.db.House(ctx); err != nil {
		return f, err
	}
	accounts, err := w.db.AccountStore().Accounts(ctx)
	if err != nil {
		return f, err
	}
	for _, a := range accounts {
		if a.Active {
			f.Contacts.Members = append(f.Contacts.Members, watch.Member{
				ID:          a.ID,
				Name:        a.Name,
				Email:       a.Email,
				Phone:       a.Phone,
				Coordinator: a.Has(account.Coordinator),
				Safety:      a.Has(account.Safety),
			})
		}
	}
	browsers, err := w.db.PushQueues(ctx)
	if err != nil {
		return f, err
	}
	f.Browsers = map[string][]notify.Browser{}
	for _, b := range browsers {
		f.Browsers[b.Email] = append(f.Browsers[b.Email], notify.Browser(b))
	}
	f.Trails = w.readTrails(ctx, cases)
	f.Parked = w.readParked(ctx, cases, f.Trails)
	return f, nil
}

// trailMaxAge is how old the trail data on a card may be. Our judgment.
const trailMaxAge = 5 * time.Minute

// trailCache holds trails for the text of cards. They are read before any step is carried
// out, because a step holds a connection and must not wait for another.
type trailCache struct {
	read time.Time
	byID map[ref.Trail]trail.Trail
}

// readTrails reads the trails of the watched hikes that are not cached. One that cannot be
// read is left out.
func (w *watcher) readTrails(ctx context.Context, cases []watch.Case) map[ref.Trail]trail.Trail {
	now := w.clock()
	known := map[ref.Trail]trail.Trail{} // a copy: steps of an earlier pass may still read the old one
	if now.Sub(w.trails.read) < trailMaxAge {
		maps.Copy(known, w.trails.byID)
	} else {
		w.trails.read = now
	}
	for _, c := range cases {
		if _, ok := known[c.Hike.Trail]; ok {
			continue
		}
		t, err := w.db.Trail(ctx, c.Hike.Trail)
		if err != nil {
			w.log.Error("read a trail for the cards", "trail", c.Hike.Trail, "err", err)
			continue
		}
		known[c.Hike.Trail] = t
	}
	w.trails.byID = known
	return known
}

// readParked reads where the cars of one-way hikes are, cached as long as trails. A hike whose
// cars cannot be read is left out.
func (w *watcher) readParked(
	ctx context.Context, cases []watch.Case, trails map[ref.Trail]trail.Trail,
) map[ref.Hike]ride.ParkedCars {
	known := map[ref.Hike]ride.ParkedCars{}
	if w.parkedRead.Equal(w.trails.read) {
		maps.Copy(known, w.parked)
	}
	w.parkedRead = w.trails.read
	for _, c := range cases {
		t := trails[c.Hike.Trail]
		if _, ok := known[c.Hike.ID]; ok || c.Hike.On(t).Profile.Shape != track.OneWay {
			continue
		}
		book, err := w.db.RideBook(ctx, c.Hike.ID)
		var places []signup.SignUp
		if err == nil {
			places, err = w.db.SignUps(ctx, c.Hike.ID)
		}
		if err != nil {
			w.log.Error("read the cars for the cards", "hike", c.Hike.ID, "err", err)
			continue
		}
		known[c.Hike.ID] = ride.Parked(c.Hike, t, places, book)
	}
	w.parked = known
	return known
}
