package main

import (
	"cmp"
	"context"
	"errors"
	"log/slog"

	"saltbush/internal/localpg"
	"saltbush/internal/site"
)

// siteFlags are the flags that serve and demo share.
type siteFlags struct {
	Listen  string `default:"127.0.0.1:8080" env:"SALTBUSH_LISTEN" placeholder:"HOST:PORT" help:"Where to serve."`
	Data    string `env:"SALTBUSH_DATA" placeholder:"FOLDER" help:"${site_data}"`
	CardKey string `env:"SALTBUSH_CARD_KEY" placeholder:"BASE64" help:"${site_card_key}"`
}

// folder returns where the site keeps its files.
func (f siteFlags) folder(e environment) string { return cmp.Or(f.Data, localpg.DefaultDir(e.getenv)) }

// programs says where to look for the PostgreSQL programs.
func (e environment) programs() site.Programs { return site.Programs{Getenv: e.getenv, Notices: e.err} }

// logger returns the log for operators.
func (e environment) logger() *slog.Logger { return slog.New(slog.NewTextHandler(e.err, nil)) }

// serving starts and runs a site for a command.
type serving struct {
	database site.DatabaseOptions
	key      keySource
	// options is called when the database is open.
	options func(context.Context, *site.Database) (site.Options, error)
	// greet is called when the site is up.
	greet func(context.Context, *site.Site) error
}

// run serves until the context ends. If it ends while the site starts, that is a clean end too, and errors from it
// are dropped.
func (s serving) run(e environment) error {
	db, err := site.OpenDatabase(e.ctx, s.database)
	if err != nil {
		return unlessCancelled(e.ctx, err)
	}
	return errors.Join(s.runOn(e, db), db.Close())
}

func (s serving) runOn(e environment, db *site.Database) error {
	running, err := s.start(e, db)
	if err != nil {
		return unlessCancelled(e.ctx, err)
	}
	return running.Run(e.ctx)
}

func (s serving) start(e environment, db *site.Database) (*site.Site, error) {
	if err := s.key.take(e, db); err != nil {
		return nil, err
	}
	options, err := s.options(e.ctx, db)
	if err != nil {
		return nil, err
	}
	running, err := site.New(e.ctx, db, options)
	if err != nil {
		return nil, err
	}
	if err := s.greet(e.ctx, running); err != nil {
		return nil, errors.Join(err, running.Close())
	}
	return running, nil
}

// unlessCancelled drops the error of a start that was cancelled.
func unlessCancelled(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return nil
	}
	return err
}
