// Package pgtest gives each test a database of its own: a copy of a migrated template, in a
// cluster that the test binary starts for its first test.
//
// The cluster is in shared memory if there is room. Without server programs tests are skipped,
// but fail if CI=true. A test binary that calls Main leaves no files behind; those of another
// are removed by the next test binary.
package pgtest

import (
	"context"
	"errors"
	"fmt"
	"hash/fnv"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/localpg"
)

// patience is the time limit of each step.
// Our judgment: the slowest that we have seen, a copy on a busy disk, took 0.4 s.
const patience = 2 * time.Minute

// Migrate creates the schema in an empty database. It must close its connections before it
// returns.
type Migrate = func(ctx context.Context, dsn string) error

// one is the cluster of this test binary. It is a package variable because all tests of the
// binary share it.
var one struct {
	sync.Mutex
	cluster *cluster
	err     error
}

// cluster is a running server with the templates made in it so far.
type cluster struct {
	server    *localpg.Server
	home      *home
	count     atomic.Int64
	mu        sync.Mutex
	templates map[uintptr]*template
}

// template is a migrated database that is made once.
type template struct {
	once sync.Once
	name string
	err  error
}

// Main runs the tests of a package and stops the cluster, if one was started:
//
//	func TestMain(m *testing.M) { os.Exit(pgtest.Main(m)) }
func Main(m *testing.M) int {
	code := m.Run()
	one.Lock()
	defer one.Unlock()
	if one.cluster == nil {
		return code
	}
	if err := errors.Join(one.cluster.server.Stop(), one.cluster.home.remove()); err != nil {
		fmt.Fprintln(os.Stderr, "stop the tests' database:", err)
		return max(code, 1)
	}
	return code
}

// Database returns the connection string of a new database with the schema of migrate, or an
// empty one if migrate is nil. It is dropped when the test ends, even with open sessions.
// Calls with the same function share a template; closures that differ only in captured
// variables are the same function.
func Database(tb testing.TB, migrate Migrate) (dsn string) {
	tb.Helper()
	c := shared(tb)
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	from, err := c.template(ctx, migrate)
	if err != nil {
		tb.Fatalf("make template database: %v", err)
	}
	name := fmt.Sprintf("t%d_%s", c.count.Add(1), plain(tb.Name()))
	if err := c.exec(ctx, "CREATE DATABASE %s TEMPLATE %s STRATEGY file_copy", name, from); err != nil {
		tb.Fatalf("copy template database: %v", err)
	}
	tb.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), patience)
		defer cancel()
		if err := c.exec(ctx, "DROP DATABASE %s WITH (FORCE)", name); err != nil {
			tb.Errorf("drop the test's database: %v", err)
		}
	})
	return c.server.DSN(name)
}

// Folder returns a new folder for tests that start a cluster themselves. Unlike tb.TempDir,
// every account can enter it. It is removed when the test ends.
func Folder(tb testing.TB) string {
	tb.Helper()
	h, err := newHome()
	if err != nil {
		tb.Fatalf("make a folder for a cluster: %v", err)
	}
	tb.Cleanup(func() {
		if err := h.remove(); err != nil {
			tb.Errorf("remove the folder of a cluster: %v", err)
		}
	})
	return filepath.Join(h.dir, "cluster")
}

// shared returns the cluster of the binary. The first call starts it.
func shared(tb testing.TB) *cluster {
	tb.Helper()
	one.Lock()
	defer one.Unlock()
	if one.cluster == nil && one.err == nil {
		one.cluster, one.err = start()
	}
	if errors.Is(one.err, localpg.ErrNoPrograms) && os.Getenv("CI") != "true" {
		tb.Skip(one.err)
	}
	if one.err != nil {
		tb.Fatalf("start the tests' database: %v", one.err)
	}
	return one.cluster
}

func start() (*cluster, error) {
	programs, err := localpg.FindPrograms(os.Getenv)
	if err != nil {
		return nil, err
	}
	h, err := newHome()
	if err != nil {
		return nil, err
	}
	s, err := localpg.Start(context.Background(), localpg.Options{
		Dir: h.dir, Programs: programs, Volatile: true,
		Settings: map[string]string{
			"max_connections": "300", // parallel tests have a pool each
			"autovacuum":      "off", // would disturb the copying
			// So that the segments of a killed server are removed with its folder.
			"dynamic_shared_memory_type": "mmap",
		},
	})
	if err != nil {
		return nil, errors.Join(err, h.remove())
	}
	return &cluster{server: s, home: h, templates: map[uintptr]*template{}}, nil
}

// template returns the name of the template with the schema of migrate.
func (c *cluster) template(ctx context.Context, migrate Migrate) (string, error) {
	if migrate == nil {
		return "template1", nil
	}
	at := reflect.ValueOf(migrate).Pointer()
	c.mu.Lock()
	t := c.templates[at]
	if t == nil {
		t = &template{name: fmt.Sprintf("template_%d_%s", len(c.templates), nameHash(at))}
		c.templates[at] = t
	}
	c.mu.Unlock()
	t.once.Do(func() { t.err = c.prepare(ctx, t.name, migrate) })
	return t.name, t.err
}

// prepare makes a template and forbids connections to it: a database with sessions cannot be
// copied.
func (c *cluster) prepare(ctx context.Context, name string, migrate Migrate) error {
	if err := c.exec(ctx, "CREATE DATABASE %s", name); err != nil {
		return err
	}
	if err := migrate(ctx, c.server.DSN(name)); err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	return c.exec(ctx, "ALTER DATABASE %s WITH ALLOW_CONNECTIONS false", name)
}

// exec runs a statement with quoted names.
func (c *cluster) exec(ctx context.Context, format string, names ...string) error {
	conn, err := pgx.Connect(ctx, c.server.DSN("postgres"))
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	quoted := make([]any, len(names))
	for i, n := range names {
		quoted[i] = pgx.Identifier{n}.Sanitize()
	}
	_, err = conn.Exec(ctx, fmt.Sprintf(format, quoted...))
	return err
}

// nameHash identifies templates in the log of the server by the function that made them.
func nameHash(at uintptr) string {
	h := fnv.New32a()
	fmt.Fprint(h, runtime.FuncForPC(at).Name())
	return fmt.Sprintf("%08x", h.Sum32())
}

// plain returns the name of a test in a form for a database name, which is limited to 63 bytes
// (PostgreSQL documentation, Identifiers and Key Words: NAMEDATALEN-1).
func plain(test string) string {
	s := regexp.MustCompile(`[^a-z0-9]+`).ReplaceAllString(strings.ToLower(test), "_")
	return s[:min(len(s), 40)]
}
