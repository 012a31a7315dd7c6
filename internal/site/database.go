package site

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"saltbush/internal/localpg"
	"saltbush/internal/postgres"
)

// DatabaseName is the name of the database in a private cluster.
const DatabaseName = "saltbush"

// DatabaseOptions are the options of OpenDatabase.
type DatabaseOptions struct {
	URL  string // of another server; empty for a private cluster
	Data string // the data folder of the private cluster
	// Volatile is faster, but loses data in a power cut.
	Volatile bool
	// Fresh deletes the content of the database.
	Fresh bool
	// Programs is how to find PostgreSQL's server programs, if there is no URL.
	Programs Programs
}

// Programs is the environment to find PostgreSQL's server programs in, and where to write
// messages about it.
type Programs struct {
	Getenv  func(string) string
	Notices io.Writer
}

// Database is an open database, with the private cluster if it has one.
type Database struct {
	*postgres.DB
	dsn   string
	local *localpg.Server // nil for another server
}

// OpenDatabase connects to the URL, or starts the private cluster in the data folder, and
// migrates the schema.
func OpenDatabase(ctx context.Context, o DatabaseOptions) (*Database, error) {
	d := &Database{dsn: o.URL}
	if o.URL == "" {
		server, err := StartCluster(ctx, ClusterFolder(o.Data), o.Volatile, o.Programs)
		if err != nil {
			return nil, err
		}
		d.local = server
		if err := server.CreateDatabase(ctx, DatabaseName); err != nil {
			return nil, errors.Join(err, server.Stop())
		}
		d.dsn = server.DSN(DatabaseName)
	}
	if err := d.connect(ctx, o.Fresh); err != nil {
		return nil, errors.Join(err, d.stopLocal())
	}
	return d, nil
}

// ClusterFolder returns the folder of the private cluster in a data folder.
func ClusterFolder(data string) string { return filepath.Join(data, "postgres") }

func (d *Database) connect(ctx context.Context, fresh bool) (err error) {
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

// Close closes the connections and stops the private cluster, if there is one.
func (d *Database) Close() error {
	d.DB.Close()
	return d.stopLocal()
}

func (d *Database) stopLocal() error {
	if d.local == nil {
		return nil
	}
	return d.local.Stop()
}

// done returns a channel that is closed when the private cluster ends by itself. It is nil for
// another server.
func (d *Database) done() <-chan struct{} {
	if d.local == nil {
		return nil
	}
	return d.local.Done()
}

// StartCluster starts the private cluster with the server programs of the machine, or with a
// build that it downloads once if there are none.
func StartCluster(ctx context.Context, dir string, volatile bool, p Programs) (*localpg.Server, error) {
	programs, err := localpg.FindPrograms(p.Getenv)
	if errors.Is(err, localpg.ErrNoPrograms) {
		fmt.Fprintln(p.Notices, "No PostgreSQL server programs were found on this machine; fetching a build once.")
		programs, err = localpg.Fetch(ctx, localpg.FetchOptions{
			CacheDir: localpg.DefaultCacheDir(p.Getenv),
			Progress: p.Notices,
		})
	}
	if err != nil {
		return nil, err
	}
	settings := map[string]string{
		// The kernel has a commit before it is acknowledged, so that killing a process never
		// loses one, even if a power cut may.
		"synchronous_commit": "on",
	}
	return localpg.Start(ctx, localpg.Options{Dir: dir, Programs: programs, Volatile: volatile, Settings: settings})
}
