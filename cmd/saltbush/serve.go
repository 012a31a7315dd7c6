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

// sender is nil without a mail server.
func (m mailFlags) sender() (message.Sender, error) {
	if m.Host == "" {
		return nil, nil
	}
	return message.NewSMTP(message.Server{
		Host: m.Host, Port: m.Port, Encryption: message.Encryption(m.Encryption),
		Username: m.Username, Password: m.Password, From: m.From, FromName: m.FromName, Timeout: 30 * time.Second,
	})
}

// hookFlags attach an organization's own gateway for text messages.
type hookFlags struct {
	URL    string `env:"URL" placeholder:"URL" help:"Where alarms are posted for an SMS gateway of yours. Without one, alarms go by mail only."`
	Secret string `env:"SECRET" help:"What the posts are signed with (HMAC-SHA256), 16 characters or more; better given in the environment."`
}

// Run serves until it is told to stop.
func (c serveCommand) Run(e environment) error {
	sender, err := c.Mail.sender()
	if err != nil {
		return err
	}
	c.Data = c.folder(e)
	key := c.keySource()
	key.anew = c.NewCardKey
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

// greet says where the site is, and prints a one-time link where nobody can sign in yet.
func greet(ctx context.Context, out io.Writer, s *site.Site) error {
	fmt.Fprintf(out, "Saltbush serves on %s\n", s.Address())
	link, err := s.FirstCoordinator(ctx)
	if err != nil || link == "" {
		return err
	}
	_, err = fmt.Fprintf(out, "Nobody has an account yet. Make the first coordinator within 24 hours, once, at\n  %s\n", link)
	return err
}
