package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"time"

	"github.com/alexedwards/scs/pgxstore"

	"saltbush/internal/account"
	"saltbush/internal/message"
	"saltbush/internal/postgres"
	"saltbush/internal/watch"
	"saltbush/web"
)

// siteFlags are what serve and demo have in common.
type siteFlags struct {
	Listen  string `default:"127.0.0.1:8080" env:"SALTBUSH_LISTEN" placeholder:"HOST:PORT" help:"Where to serve."`
	Data    string `env:"SALTBUSH_DATA" placeholder:"FOLDER" help:"Where the private database keeps its files, and the key of the medical cards."`
	CardKey string `env:"SALTBUSH_CARD_KEY" placeholder:"BASE64" help:"The key of the medical cards, 32 bytes in base64; better given in the environment. Without it the key is the file card.key in the data folder."`
}

// site is a running web site on its database.
type site struct {
	db       *database
	listener net.Listener
	server   *http.Server
	web      *web.Server
	changes  *postgres.Changes
	standing *watch.Standing
	sender   message.Sender
	hook     message.Sender // nil where no gateway is attached
	push     message.Sender // wakes browsers
	beat     *heart         // nil where no outside monitor is told
	base     string         // what links in messages begin with
	log      *slog.Logger
}

// House judgement: as many passwords at once as two small cores can work through while
// pages still answer.
const passwordsAtOnce = 2

// newSite listens first, so that a taken address is found before anything else happens.
func newSite(e environment, f siteFlags, db *database, c web.Config, sender message.Sender) (*site, error) {
	listener, err := net.Listen("tcp", f.Listen)
	if err != nil {
		return nil, fmt.Errorf("--listen %s: %w", f.Listen, err)
	}
	s := &site{db: db, listener: listener, sender: sender, log: slog.New(slog.NewTextHandler(e.err, nil))}
	s.changes = db.NewChanges(s.log)
	s.standing = watch.NewStanding(db, s.changes)
	c.Hikes, c.Rolls, c.Watch, c.Accounts, c.Outbox, c.Staff = db, db, db, db.AccountStore(), db.Outbox(), db
	c.Tell, c.Ground, c.Cards, c.People, c.Rides, c.Kept, c.Choices = db, db, db, db, db, db, db
	c.Hasher = account.NewHasher(passwordsAtOnce)
	c.Sessions = pgxstore.NewWithCleanupInterval(db.Pool(), time.Hour)
	c.Changes, c.Standing, c.Ready, c.Now, c.Log = s.changes, s.standing, db.Ping, time.Now, s.log
	if c.BaseURL == "" {
		c.BaseURL = s.address()
	}
	s.base = c.BaseURL
	c.Secure = strings.HasPrefix(c.BaseURL, "https://")
	c.Wakes = db
	c.Calendar = db
	if s.push, err = s.pushSender(e.ctx); err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	if c.Demo {
		s.push = sender // nothing leaves a demo
	}
	if s.web, err = web.New(c); err != nil {
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

// address is where a browser on this machine finds the site.
func (s *site) address() string { return "http://" + s.listener.Addr().String() }

// run serves until the context ends or the database does.
func (s *site) run(ctx context.Context) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	// Live pages hold their connections open; they end with the server's context.
	s.server.BaseContext = func(net.Listener) context.Context { return ctx }
	go s.changes.Run(ctx)
	go s.watcher().run(ctx)
	go s.remindStaff(ctx)
	go s.tendPlaces(ctx)
	go s.retire(ctx)
	go s.deliver(ctx, s.db.Outbox(), s.sender, message.DefaultPolicy())
	go s.deliver(ctx, s.db.OutboxOf(message.ByAlarm), s.sender, message.AlarmPolicy())
	go s.deliver(ctx, s.db.OutboxOf(message.ByPush), s.push, pushPolicy())
	if s.hook != nil {
		go s.deliver(ctx, s.db.OutboxOf(message.ByHook), s.hook, hookPolicy())
	}
	failed := make(chan error, 1)
	go func() { failed <- s.server.Serve(s.listener) }()
	select {
	case <-ctx.Done():
		stop()
		return s.shutDown()
	case <-s.db.done():
		return errors.Join(errors.New("the database ended by itself; see postgres.log in the data folder"), s.server.Close())
	case err := <-failed:
		return err
	}
}

// House judgement: how long requests under way may take to end.
const patience = 5 * time.Second

func (s *site) shutDown() error {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if err := s.server.Shutdown(ctx); err != nil {
		return s.server.Close()
	}
	return nil
}

// House judgement: how often the outbox is looked through; a confirmation that comes
// within seconds is what people expect.
const deliverEvery = 2 * time.Second

// deliver empties one queue of the outbox for as long as the site runs.
func (s *site) deliver(ctx context.Context, box message.Outbox, sender message.Sender, p message.Policy) {
	for {
		done, err := message.Deliver(ctx, box, sender, time.Now, p)
		if err != nil && ctx.Err() == nil {
			s.log.Error("deliver messages", "err", err)
		}
		if done != (message.Report{}) && err == nil && ctx.Err() == nil {
			continue // there may be more
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(deliverEvery):
		}
	}
}
