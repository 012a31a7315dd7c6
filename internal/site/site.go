package site

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/alexedwards/scs/pgxstore"

	"saltbush/internal/account"
	"saltbush/internal/message"
	"saltbush/internal/postgres"
	"saltbush/internal/watch"
	"saltbush/web"
	"saltbush/web/accounts"
)

// Options say how a site runs. The zero value of each field is what a new installation has.
type Options struct {
	Listen string // as 127.0.0.1:8080
	// BaseURL is what links in messages begin with; empty for the address it listens on.
	BaseURL string
	// Mail takes mail away; nil where no mail server is set, and mail waits in the outbox.
	Mail message.Sender
	// MailFrom is the address that mail comes from.
	MailFrom string
	// Webhook is a gateway for text messages.
	Webhook Webhook
	// Heartbeat is the address of a monitor outside of this machine; empty for none.
	Heartbeat string
	// Demo shows the banner and the outbox, and lets nothing leave the machine.
	Demo bool
	// Samples are the accounts that a visitor of the demo may try.
	Samples []accounts.Sample
	// Hasher checks passwords; nil for the ordinary one. Tests give a quick one.
	Hasher *account.Hasher
	// Now is the clock; nil for the machine's. Tests give their own.
	Now func() time.Time
	// LocalPush lets a push service lie on this machine, for tests.
	LocalPush bool
	// Intervals are how often the jobs run; zero for the ordinary ones.
	Intervals Intervals
	Log       *slog.Logger
}

// Intervals are the longest waits between two runs of a job.
type Intervals struct {
	Watch, Deliver, Places, Reminders, Retention time.Duration
}

// usual are the intervals of every site but those of tests.
func usual() Intervals {
	return Intervals{
		Watch:     watchEvery,
		Deliver:   deliverEvery,
		Places:    tendEvery,
		Reminders: remindEvery,
		Retention: retireEvery,
	}
}

// Site is a web site on its database.
type Site struct {
	db        *Database
	listener  net.Listener
	server    *http.Server
	web       *web.Server
	changes   *postgres.Changes
	standing  *watch.CaseCache
	watcher   *watcher
	sender    message.Sender
	hook      message.Sender // nil where no gateway is attached
	push      message.Sender // wakes browsers
	beat      *heartbeat     // nil where no outside monitor is told
	base      string         // what links in messages begin with
	intervals Intervals
	now       func() time.Time
	log       *slog.Logger
}

// House judgement: as many passwords at once as two small cores can work through while
// pages still answer.
const passwordsAtOnce = 2

// New assembles a site and begins to listen; Run serves. What it opened it has closed again
// when it returns an error.
func New(ctx context.Context, db *Database, o Options) (*Site, error) {
	o.fill()
	// A taken address is found before anything else happens.
	listener, err := net.Listen("tcp", o.Listen)
	if err != nil {
		return nil, fmt.Errorf("--listen %s: %w", o.Listen, err)
	}
	s := &Site{db: db, listener: listener, sender: o.Mail, intervals: o.Intervals, now: o.Now, log: o.Log}
	s.base = o.BaseURL
	if s.base == "" {
		s.base = s.Address()
	}
	if err := s.attach(ctx, o); err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	s.changes = db.NewChanges(s.log)
	s.standing = watch.NewCaseCache(db, s.changes)
	s.watcher = s.newWatcher()
	if s.web, err = web.New(s.config(o)); err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	s.server = &http.Server{
		Handler:           s.web.Handler(),
		ReadHeaderTimeout: 10 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
		ErrorLog:          slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
	return s, nil
}

// fill puts in what the caller left out.
func (o *Options) fill() {
	if o.Mail == nil {
		o.Mail = unsent{}
	}
	if o.Hasher == nil {
		o.Hasher = account.NewHasher(passwordsAtOnce)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Intervals == (Intervals{}) {
		o.Intervals = usual()
	}
}

// attach makes what carries messages out of the site.
func (s *Site) attach(ctx context.Context, o Options) (err error) {
	if s.hook, err = o.Webhook.sender(o.Now); err != nil {
		return err
	}
	if s.beat, err = newHeart(o.Heartbeat, s.log); err != nil {
		return err
	}
	if o.Demo {
		s.push = s.sender // nothing leaves a demo
		return nil
	}
	s.push, err = s.pushSender(ctx, o.LocalPush)
	return err
}

// config hands the server its stores, all of which are the database.
func (s *Site) config(o Options) web.Config {
	db := s.db
	return web.Config{
		Hikes:     db,
		Rolls:     db,
		Watch:     db,
		Accounts:  db.AccountStore(),
		Tell:      db,
		Ground:    db,
		Staff:     db,
		People:    db,
		Rides:     db,
		Outbox:    db.Outbox(),
		Choices:   db,
		Calendar:  db,
		MailFrom:  o.MailFrom,
		Cards:     db,
		Kept:      db,
		Wakes:     db,
		LocalPush: o.LocalPush,
		Hasher:    o.Hasher,
		Sessions:  pgxstore.NewWithCleanupInterval(db.Pool(), time.Hour),
		Changes:   s.changes,
		Standing:  s.standing,
		Ready:     db.Ping,
		BaseURL:   s.base,
		Secure:    strings.HasPrefix(s.base, "https://"),
		Demo:      o.Demo,
		Samples:   o.Samples,
		Now:       s.now,
		Log:       s.log,
	}
}

// Address is where a browser on this machine finds the site.
func (s *Site) Address() string { return "http://" + s.listener.Addr().String() }

// Close ends a site that was never run.
func (s *Site) Close() error { return s.listener.Close() }

// FirstCoordinator returns a private link that makes the first account, or "" where there
// is an account already.
func (s *Site) FirstCoordinator(ctx context.Context) (link string, err error) {
	accounts := s.db.AccountStore()
	n, err := accounts.CountAccounts(ctx)
	if err != nil || n > 0 {
		return "", err
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return "", err
	}
	err = accounts.AddLink(ctx, account.Link{
		Hash:    hash,
		Target:  account.FirstCoordinatorTarget(),
		Expires: s.now().Add(account.FirstCoordinatorFor),
	})
	return s.base + "/first/" + secret.Reveal(), err
}

// Run serves and does the jobs until the context ends or the database does.
func (s *Site) Run(ctx context.Context) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	var jobs sync.WaitGroup
	jobs.Go(func() { s.changes.Run(ctx) })
	list, end := s.jobs()
	defer end()
	for _, j := range list {
		jobs.Go(func() { every(ctx, s.log, j) })
	}
	err := s.Serve(ctx)
	stop()
	jobs.Wait()
	return err
}

// jobs are everything that a site does by itself.
func (s *Site) jobs() (jobs []job, end func()) {
	watching, end := s.watching()
	jobs = []job{
		watching,
		{name: "warn of certificates", each: s.intervals.Reminders, do: s.RemindStaff},
		{name: "tend places", each: s.intervals.Places, do: s.TendPlaces},
		{name: "delete what is due", each: s.intervals.Retention, do: s.Retire},
		s.delivering(s.db.Outbox(), s.sender, message.DefaultPolicy()),
		s.delivering(s.db.OutboxOf(message.ByAlarm), s.sender, message.AlarmPolicy()),
		s.delivering(s.db.OutboxOf(message.ByPush), s.push, pushPolicy()),
	}
	if s.hook != nil {
		jobs = append(jobs, s.delivering(s.db.OutboxOf(message.ByHook), s.hook, hookPolicy()))
	}
	return jobs, end
}

// TendPlaces runs the timed jobs of the waitlists.
func (s *Site) TendPlaces(ctx context.Context) error { return s.web.Notifier().ProcessWaitlists(ctx) }

// RemindStaff queues the warnings of expiring certificates.
func (s *Site) RemindStaff(ctx context.Context) error { return s.web.Notifier().RemindStaff(ctx) }

const (
	// Our judgment: a place is held for two days, so some minutes make no difference.
	tendEvery = 5 * time.Minute
	// Our judgment: warnings of certificates count days, so an hour makes no difference.
	remindEvery = time.Hour
)

// Serve answers requests and does no job, until the context ends or the database does.
func (s *Site) Serve(ctx context.Context) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	// Live pages hold their connections open; they end with the server's context.
	s.server.BaseContext = func(net.Listener) context.Context { return ctx }
	failed := make(chan error, 1)
	go func() { failed <- s.server.Serve(s.listener) }()
	select {
	case <-ctx.Done():
		return s.shutDown()
	case <-s.db.done():
		err := errors.New("the database ended by itself; see postgres.log in the data folder")
		return errors.Join(err, s.server.Close())
	case err := <-failed:
		return err
	}
}

// House judgement: how long requests under way may take to end.
const patience = 5 * time.Second

func (s *Site) shutDown() error {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if err := s.server.Shutdown(ctx); err != nil {
		return s.server.Close()
	}
	return nil
}
