package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/site"
)

// serveCommand serves an organization's own data.
type serveCommand struct {
	siteFlags   `embed:""`
	DatabaseURL string    `env:"DATABASE_URL" placeholder:"URL" help:"Your PostgreSQL instead of the private one."`
	BaseURL     string    `env:"SALTBUSH_BASE_URL" placeholder:"URL" help:"${serve_base_url}"`
	Mail        mailFlags `embed:"" prefix:"smtp-" envprefix:"SALTBUSH_SMTP_"`
	Webhook     hookFlags `embed:"" prefix:"webhook-" envprefix:"SALTBUSH_WEBHOOK_"`
	NewCardKey  bool      `help:"${serve_new_card_key}"`
	Heartbeat   string    `env:"SALTBUSH_HEARTBEAT_URL" placeholder:"URL" help:"${serve_heartbeat}"`
}

// mailFlags select the mail server. Without a host nothing is sent.
type mailFlags struct {
	Host       string `env:"HOST" help:"The mail server. Without one, mail stays in the outbox and people are told so."`
	Port       int    `env:"PORT" default:"587" help:"Its port."`
	Encryption string `env:"ENCRYPTION" default:"starttls" enum:"${smtp_encryptions}" help:"${smtp_encryption}"`
	Username   string `env:"USERNAME" help:"The account on the mail server."`
	Password   string `env:"PASSWORD" help:"Its password; better given in the environment."`
	From       string `env:"FROM" help:"The address that mail comes from."`
	FromName   string `env:"FROM_NAME" default:"Saltbush" help:"The name beside it."`
}

// sender returns nil without a mail server.
func (m mailFlags) sender() (message.Sender, error) {
	if m.Host == "" {
		return nil, nil
	}
	return message.NewSMTP(message.Server{
		Host: m.Host, Port: m.Port, Encryption: message.Encryption(m.Encryption),
		Username: m.Username, Password: m.Password, From: m.From, FromName: m.FromName, Timeout: 30 * time.Second,
	})
}

// hookFlags connect the organization's own gateway for text messages.
type hookFlags struct {
	URL    string `env:"URL" placeholder:"URL" help:"${webhook_url}"`
	Secret string `env:"SECRET" help:"${webhook_secret}"`
}

// Run serves until the context ends.
func (c serveCommand) Run(e environment) error {
	sender, err := c.Mail.sender()
	if err != nil {
		return err
	}
	c.Data = c.folder(e)
	key := c.keySource()
	key.replace = c.NewCardKey
	return serving{
		database: site.DatabaseOptions{URL: c.DatabaseURL, Data: c.Data, Programs: e.programs()},
		key:      key,
		options: func(context.Context, *site.Database) (site.Options, error) {
			return site.Options{
				Listen:    c.Listen,
				BaseURL:   c.BaseURL,
				Mail:      sender,
				MailFrom:  c.Mail.From,
				Webhook:   site.Webhook(c.Webhook),
				Heartbeat: c.Heartbeat,
				Log:       e.logger(),
			}, nil
		},
		greet: func(ctx context.Context, s *site.Site) error { return greet(ctx, e.out, s) },
	}.run(e)
}

// greet prints the address of the site, and a one-time link if nobody can sign in yet.
func greet(ctx context.Context, out io.Writer, s *site.Site) error {
	fmt.Fprintf(out, "Saltbush serves on %s\n", s.Address())
	link, err := s.FirstCoordinator(ctx)
	if err != nil || link == "" {
		return err
	}
	_, err = fmt.Fprintf(out, "Nobody has an account yet. Make the first coordinator within 24 hours, once, at\n  %s\n",
		link)
	return err
}
