// Package pgtest gives tests databases of their own, each a copy of a template in a cluster
// that one test binary starts when its first test asks.
//
// The data of a cluster with the newest schema are cached in the user's cache folder, under a
// key of everything they are made from, and each test binary starts its server on a copy.
// The copy lies in shared memory where there is room. Without server programs a test is
// skipped, but fails where CI=true. A test binary that calls Main leaves nothing else
// behind. After one that does not, or that was killed, the next binary cleans up.
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

// patience bounds each step against the cluster.
// House judgement: the slowest seen, a copy on a busy disk, took 0.4 s.
const patience = 2 * time.Minute

// Migrate brings a database to what a test wants of it. It must close its connections before
// it returns.
type Migrate = func(ctx context.Context, dsn string) error

// one holds the cluster of this test binary. It is a variable of the package because
// tests share it across files, and there is nobody above them to hand it down.
var one struct {
	sync.Mutex
	cluster *cluster
	err     error
}

// Main runs the tests of a package and then stops the cluster, if one was started:
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

// Database returns the connection string of a new database that fill has prepared, which is
// given an empty one. It is dropped when the test ends, open sessions or not. Calls that
// pass the same function share one template; closures that differ only in what they capture
// count as the same function. A nil fill gives an empty database.
func Database(tb testing.TB, fill Migrate) (dsn string) {
	tb.Helper()
	return database(tb, empty, fill)
}

// Migrated is Database with a fill that is given the newest schema. A nil fill gives that
// schema and nothing in it.
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

// Folder returns a new folder that can hold a cluster, for tests that start one by
// themselves: unlike that of tb.TempDir, every account can enter it. It goes with the test.
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

// shared returns the binary's cluster, started by the first call.
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

// skipOrFail ends a test that has no database.
func skipOrFail(tb testing.TB, err error) {
	tb.Helper()
	if errors.Is(err, localpg.ErrNoPrograms) && os.Getenv("CI") != "true" {
		tb.Skip(err)
	}
	tb.Fatalf("start the tests' database: %v", err)
}

// Cluster is Folder with the data of a cluster in it, which nobody serves yet. It is for tests
// that are not about how a cluster is made.
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

// plain turns a test's name into what is readable in a database name of at most 63 bytes
// (PostgreSQL documentation, Identifiers and Key Words: NAMEDATALEN-1).
func plain(test string) string {
	s := regexp.MustCompile(`[^a-z0-9]+`).ReplaceAllString(strings.ToLower(test), "_")
	return s[:min(len(s), 40)]
}
