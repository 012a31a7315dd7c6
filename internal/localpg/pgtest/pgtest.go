// Package pgtest gives each test a database of its own: a copy of a template, in a cluster
// that the test binary starts for its first test.
//
// The data of a cluster with the newest schema are cached in the user's cache folder, under a
// hash of everything that determines them. Each test binary starts its server on a copy, in
// shared memory if there is room. Without server programs tests are skipped, but fail if
// CI=true. A test binary that calls Main leaves no other files behind. After one that does
// not, or that was killed, the next test binary cleans up.
package pgtest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"saltbush/internal/localpg"
)

// patience is the time limit of each step.
// Our judgment: the slowest that we have seen, a copy on a busy disk, took 0.4 s.
const patience = 2 * time.Minute

// Migrate fills a database for a test. It must close its connections before it returns.
type Migrate = func(ctx context.Context, dsn string) error

// one is the cluster of this test binary. It is a package variable because all tests of the
// binary share it.
var one struct {
	sync.Mutex
	cluster *cluster
	err     error
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
	if err := one.cluster.stop(); err != nil {
		fmt.Fprintln(os.Stderr, "stop the tests' database:", err)
		return max(code, 1)
	}
	return code
}

// Database returns the connection string of a new database that fill has filled from an empty
// one; if fill is nil it is empty. It is dropped when the test ends, even with open sessions.
// Calls with the same function share a template; closures that differ only in captured
// variables are the same function.
func Database(tb testing.TB, fill Migrate) (dsn string) {
	tb.Helper()
	return database(tb, empty, fill)
}

// Migrated is Database with a fill that starts from the newest schema. If fill is nil the
// tables are empty.
func Migrated(tb testing.TB, fill Migrate) (dsn string) {
	tb.Helper()
	return database(tb, schema, fill)
}

func database(tb testing.TB, from string, fill Migrate) (dsn string) {
	tb.Helper()
	c := shared(tb)
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	name, err := c.database(ctx, tb.Name(), from, fill)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), patience)
		defer cancel()
		if err := c.exec(ctx, dropDatabase, name); err != nil {
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
		one.cluster, one.err = start(context.Background())
	}
	if one.err != nil {
		skipOrFail(tb, one.err)
	}
	return one.cluster
}

// skipOrFail ends a test because there is no database.
func skipOrFail(tb testing.TB, err error) {
	tb.Helper()
	if errors.Is(err, localpg.ErrNoPrograms) && os.Getenv("CI") != "true" {
		tb.Skip(err)
	}
	tb.Fatalf("start the tests' database: %v", err)
}

// Cluster is Folder with the data of a cluster, for tests that are not about how a cluster is
// made. No server runs yet.
func Cluster(tb testing.TB) (dir string) {
	tb.Helper()
	programs, err := localpg.FindPrograms(os.Getenv)
	if err != nil {
		skipOrFail(tb, err)
	}
	dir = Folder(tb)
	if err := os.Mkdir(dir, 0o711); err != nil {
		tb.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if _, err := provideData(ctx, dir, programs); err != nil {
		tb.Fatalf("make a cluster: %v", err)
	}
	return dir
}

// plain returns the name of a test in a form for a database name, which is limited to 63 bytes
// (PostgreSQL documentation, Identifiers and Key Words: NAMEDATALEN-1).
func plain(test string) string {
	s := regexp.MustCompile(`[^a-z0-9]+`).ReplaceAllString(strings.ToLower(test), "_")
	return s[:min(len(s), 40)]
}
