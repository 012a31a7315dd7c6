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

// Options are the options of New. The zero values are those of a new installation.
type Options struct {
	Listen string // such as 127.0.0.1:8080
	// BaseURL is the start of links in messages; empty for the address it listens on.
	BaseURL string
	// Mail sends mail. If it is nil, mail waits in the outbox.
	Mail message.Sender
	// MailFrom is the sender of mail.
	MailFrom string
	// Webhook is a gateway for text messages.
	Webhook Webhook
	// Heartbeat is the URL of a monitor on another machine; may be empty.
	Heartbeat string
	// Demo shows the banner and the outbox, and sends nothing.
	Demo bool
	// Samples are the accounts that a visitor of the demo may try.
	Samples []accounts.Sample
	// Hasher checks passwords; nil for the default. Tests pass a fast one.
	Hasher *account.Hasher
	// Now is the clock; nil for time.Now.
	Now func() time.Time
	// LocalPush allows push services on this machine, for tests.
	LocalPush bool
	// Intervals are how often the jobs run; zero for the defaults.
	Intervals Intervals
	Log       *slog.Logger
}

// Intervals are the longest waits between two runs of each job.
type Intervals struct {
	Watch, Deliver, Places, Reminders, Retention time.Duration
}

// defaultIntervals returns the intervals outside tests.
func defaultIntervals() Intervals {
	return Intervals{
		Watch:     watchEvery,
		Deliver:   deliverEvery,
		Places:    waitlistEvery,
		Reminders: remindEvery,
		Retention: deletionEvery,
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
	hook      message.Sender // sends text messages; nil for none
	push      message.Sender // sends web pushes
	beat      *heartbeat     // nil for none
	base      string         // the start of links in messages
	intervals Intervals
	now       func() time.Time
	log       *slog.Logger
}

// concurrentHashes is how many passwords are checked at once.
// Our judgment: two small cores can do this and still serve pages.
const concurrentHashes = 2

// New assembles a site and starts to listen; Run serves. If it returns an error it has closed
// everything that it opened.
func New(ctx context.Context, db *Database, o Options) (*Site, error) {
	o.fill()
	// First, because the address may be in use.
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

// fill sets the defaults.
func (o *Options) fill() {
	if o.Mail == nil {
		o.Mail = unsent{}
	}
	if o.Hasher == nil {
		o.Hasher = account.NewHasher(concurrentHashes)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Intervals == (Intervals{}) {
		o.Intervals = defaultIntervals()
	}
}

// attach creates the senders of messages.
func (s *Site) attach(ctx context.Context, o Options) (err error) {
	if s.hook, err = o.Webhook.sender(o.Now); err != nil {
		return err
	}
	if s.beat, err = newHeartbeat(o.Heartbeat, s.log); err != nil {
		return err
	}
	if o.Demo {
		s.push = s.sender // nothing leaves a demo
		return nil
	}
	s.push, err = s.pushSender(ctx, o.LocalPush)
	return err
}

// config returns the configuration of the server. The database is all of its stores.
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

// Address returns the URL of the site on this machine.
func (s *Site) Address() string { return "http://" + s.listener.Addr().String() }

// Close closes a site that was not run.
func (s *Site) Close() error { return s.listener.Close() }

// FirstCoordinator returns a new link to create the first account, or "" if there is an
// account.
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

// Run serves and runs the jobs until ctx or the database ends.
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

// jobs returns the periodic jobs. The caller must call end.
func (s *Site) jobs() (jobs []job, end func()) {
	watching, end := s.watching()
	jobs = []job{
		watching,
		{name: "warn of certificates", each: s.intervals.Reminders, do: s.RemindStaff},
		{name: "process waitlists", each: s.intervals.Places, do: s.ProcessWaitlists},
		{name: "delete what is due", each: s.intervals.Retention, do: s.DeleteDue},
		s.delivering(s.db.Outbox(), s.sender, message.DefaultPolicy()),
		s.delivering(s.db.OutboxOf(message.ByAlarm), s.sender, message.AlarmPolicy()),
		s.delivering(s.db.OutboxOf(message.ByPush), s.push, pushPolicy()),
	}
	if s.hook != nil {
		jobs = append(jobs, s.delivering(s.db.OutboxOf(message.ByHook), s.hook, hookPolicy()))
	}
	return jobs, end
}

// ProcessWaitlists runs the timed jobs of the waitlists.
func (s *Site) ProcessWaitlists(ctx context.Context) error {
	return s.web.Notifier().ProcessWaitlists(ctx)
}

// RemindStaff queues the warnings of expiring certificates.
func (s *Site) RemindStaff(ctx context.Context) error { return s.web.Notifier().RemindStaff(ctx) }

const (
	// Our judgment: a place is held for two days, so minutes do not matter.
	waitlistEvery = 5 * time.Minute
	// Our judgment: certificates end in days, so an hour does not matter.
	remindEvery = time.Hour
)

// Serve serves requests, without the jobs, until ctx or the database ends.
func (s *Site) Serve(ctx context.Context) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	// Live pages keep their connections open until this context ends.
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

// patience is how long running requests may take at shutdown. Our judgment.
const patience = 5 * time.Second

func (s *Site) shutDown() error {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if err := s.server.Shutdown(ctx); err != nil {
		return s.server.Close()
	}
	return nil
}
