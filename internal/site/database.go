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

// DatabaseOptions say which database a site is on.
type DatabaseOptions struct {
	URL  string // somebody's own server; empty for a private cluster
	Data string // the folder above the private cluster
	// Volatile gives up safety against power cuts for speed.
	Volatile bool
	// Fresh throws away what is in the database.
	Fresh bool
	// Programs finds PostgreSQL's server programs where there is no URL.
	Programs Programs
}

// Programs says where PostgreSQL's server programs are looked for and what is told of it.
type Programs struct {
	Getenv  func(string) string
	Notices io.Writer
}

// Database is an open database and what ends it.
type Database struct {
	*postgres.DB
	dsn   string
	local *localpg.Server // nil for somebody else's server
}

// OpenDatabase connects to the URL, or starts the private cluster in the data folder, and
// brings the schema up to date.
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

// ClusterFolder is where the private cluster lies in a data folder.
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

// Close ends connections and the private cluster, if there is one.
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

// done tells when the private cluster has ended by itself; nil, which never tells, for
// somebody else's server.
func (d *Database) done() <-chan struct{} {
	if d.local == nil {
		return nil
	}
	return d.local.Done()
}

// StartCluster runs the private cluster from the machine's own server programs, or from a
// build that is fetched once where there are none.
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
		// A commit is in the kernel's hands before it is acknowledged, so that no kill of
		// any process loses one, not even where a power cut may.
		"synchronous_commit": "on",
	}
	return localpg.Start(ctx, localpg.Options{Dir: dir, Programs: programs, Volatile: volatile, Settings: settings})
}
