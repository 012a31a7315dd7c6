package main

import (
	"cmp"
	"crypto/rand"
	"errors"
	"fmt"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/localpg"
	"saltbush/internal/message"
	"saltbush/web"
)

// serveCommand serves an organisation's own data.
type serveCommand struct {
	siteFlags   `embed:""`
	DatabaseURL string    `env:"DATABASE_URL" placeholder:"URL" help:"Your PostgreSQL instead of the private one."`
	BaseURL     string    `env:"SALTBUSH_BASE_URL" placeholder:"URL" help:"The address that links in messages begin with, as https://hikes.example.org."`
	Mail        mailFlags `embed:"" prefix:"smtp-" envprefix:"SALTBUSH_SMTP_"`
	Webhook     hookFlags `embed:"" prefix:"webhook-" envprefix:"SALTBUSH_WEBHOOK_"`
	NewCardKey  bool      `help:"Once, after the key of the medical cards was lost for good: begin with a new one. Cards sealed with the old one stay closed."`
	Heartbeat   string    `env:"SALTBUSH_HEARTBEAT_URL" placeholder:"URL" help:"Called each minute while the watch is kept. Let a monitor outside of this machine ring somebody when the calls stop."`
}

// mailFlags say which mail server takes our mail; without a host nothing is sent.
type mailFlags struct {
	Host       string `env:"HOST" help:"The mail server. Without one, mail stays in the outbox and people are told so."`
	Port       int    `env:"PORT" default:"587" help:"Its port."`
	Encryption string `env:"ENCRYPTION" default:"starttls" enum:"starttls,starttls-if-offered,tls,none" help:"How the connection is protected."`
	Username   string `env:"USERNAME" help:"The account on the mail server."`
	Password   string `env:"PASSWORD" help:"Its password; better given in the environment."`
	From       string `env:"FROM" help:"The address that mail comes from."`
	FromName   string `env:"FROM_NAME" default:"Saltbush" help:"The name beside it."`
}

// errNoMailServer is why mail waits: it is queued and kept, and goes when a server is set.
var errNoMailServer = errors.New("no mail server is set")

func (m mailFlags) sender() (message.Sender, error) {
	if m.Host == "" {
		return unsent{}, nil
	}
	return message.NewSMTP(message.Server{
		Host: m.Host, Port: m.Port, Encryption: message.Encryption(m.Encryption),
		Username: m.Username, Password: m.Password, From: m.From, FromName: m.FromName, Timeout: 30 * time.Second,
	})
}

// Run serves until it is told to stop.
func (c serveCommand) Run(e environment) error {
	sender, err := c.Mail.sender()
	if err != nil {
		return err
	}
	if c.Data == "" {
		c.Data = localpg.DefaultDir(e.getenv)
	}
	db, err := openDatabase(e, c.DatabaseURL, c.Data, false, false)
	if err != nil {
		return err
	}
	keys := c.keySource(e)
	keys.anew = c.NewCardKey
	if err := keys.take(e, db); err != nil {
		return errors.Join(err, db.close())
	}
	s, err := newSite(e, c.siteFlags, db, web.Config{BaseURL: c.BaseURL, MailFrom: c.Mail.From}, sender)
	if err != nil {
		return errors.Join(err, db.close())
	}
	if s.hook, err = c.Webhook.sender(); err != nil {
		return errors.Join(err, s.listener.Close(), db.close())
	}
	if s.beat, err = newHeart(c.Heartbeat, s.log); err != nil {
		return errors.Join(err, s.listener.Close(), db.close())
	}
	fmt.Fprintf(e.out, "Saltbush serves on %s\n", s.address())
	if err := inviteFirst(e, db, cmp.Or(c.BaseURL, s.address())); err != nil {
		return errors.Join(err, db.close())
	}
	return errors.Join(s.run(e.ctx), db.close())
}

// inviteFirst prints a one-time link where nobody can sign in yet.
func inviteFirst(e environment, db *database, address string) error {
	accounts := db.AccountStore()
	n, err := accounts.CountAccounts(e.ctx)
	if err != nil || n > 0 {
		return err
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	link := account.Link{Hash: hash, Purpose: account.FirstCoordinator, Expires: time.Now().Add(account.FirstCoordinatorFor)}
	if err := accounts.AddLink(e.ctx, link); err != nil {
		return err
	}
	_, err = fmt.Fprintf(e.out, "Nobody has an account yet. Make the first coordinator within 24 hours, once, at\n  %s/first/%s\n",
		address, secret.Reveal())
	return err
}
