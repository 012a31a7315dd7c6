package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"saltbush/internal/localpg"
	"saltbush/internal/postgres"
)

// database is an open database and what ends it.
type database struct {
	*postgres.DB
	dsn   string
	local *localpg.Server // nil for somebody else's server
}

// openDatabase connects to the URL, or starts the private cluster in the data folder,
// and brings the schema up to date. Fresh throws away what is in it.
func openDatabase(e environment, url, data string, volatile, fresh bool) (*database, error) {
	d := &database{dsn: url}
	if url == "" {
		server, err := startLocal(e, filepath.Join(data, "postgres"), volatile)
		if err != nil {
			return nil, err
		}
		d.local = server
		if err := server.CreateDatabase(e.ctx, databaseName); err != nil {
			return nil, errors.Join(err, server.Stop())
		}
		d.dsn = server.DSN(databaseName)
	}
	if err := d.connect(e.ctx, fresh); err != nil {
		return nil, errors.Join(err, d.stopLocal())
	}
	return d, nil
}

const databaseName = "saltbush"

func (d *database) connect(ctx context.Context, fresh bool) (err error) {
	if fresh {
		if err = postgres.MigrateDown(ctx, d.dsn); err != nil {
			return err
		}
	}
	if err = postgres.Migrate(ctx, d.dsn); err != nil {
		return err
	}
	d.DB, err = postgres.Open(ctx, d.dsn)
	return err
}

// close ends connections and the private cluster, if there is one.
func (d *database) close() error {
	d.DB.Close()
	return d.stopLocal()
}

func (d *database) stopLocal() error {
	if d.local == nil {
		return nil
	}
	return d.local.Stop()
}

// done tells when the private cluster has ended by itself; nil, which never tells, for
// somebody else's server.
func (d *database) done() <-chan struct{} {
	if d.local == nil {
		return nil
	}
	return d.local.Done()
}

// startLocal runs the private cluster from the machine's own server programs, or from a
// build that is fetched once where there are none.
func startLocal(e environment, dir string, volatile bool) (*localpg.Server, error) {
	programs, err := localpg.FindPrograms(e.getenv)
	if errors.Is(err, localpg.ErrNoPrograms) {
		fmt.Fprintln(e.err, "No PostgreSQL server programs were found on this machine; fetching a build once.")
		programs, err = localpg.Fetch(e.ctx, localpg.FetchOptions{
			CacheDir: localpg.DefaultCacheDir(e.getenv),
			Progress: os.Stderr,
		})
	}
	if err != nil {
		return nil, err
	}
	return localpg.Start(e.ctx, localpg.Options{Dir: dir, Programs: programs, Volatile: volatile, Settings: map[string]string{
		// A commit is in the kernel's hands before it is acknowledged, so that no kill of
		// any process loses one, not even where a power cut may.
		"synchronous_commit": "on",
	}})
}
