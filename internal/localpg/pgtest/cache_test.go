package pgtest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"testing/fstest"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/localpg"
)

// newCache returns an empty cache.
func newCache(t *testing.T) *cache { return &cache{dir: t.TempDir(), key: "key"} }

// someData makes a folder with a few files and an empty folder.
func someData(t *testing.T) (dir string, files map[string]string) {
	t.Helper()
	dir = t.TempDir()
	files = map[string]string{"PG_VERSION": "15\n", "base/1/1249": string(make([]byte, 300<<10)), "base/1/empty": ""}
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o700),
			os.WriteFile(path, []byte(text), 0o600)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "pg_notify"), 0o700); err != nil {
		t.Fatal(err)
	}
	return dir, files
}

func TestCache(t *testing.T) {
	t.Run("what was saved is loaded", func(t *testing.T) {
		c := newCache(t)
		from, files := someData(t)
		c.save(from)
		to := filepath.Join(t.TempDir(), "data")
		if err := c.load(to); err != nil {
			t.Fatal(err)
		}
		for name, want := range files {
			if got, err := os.ReadFile(filepath.Join(to, name)); err != nil || string(got) != want {
				t.Errorf("%s has %d bytes, %v; want %d", name, len(got), err, len(want))
			}
		}
		if st, err := os.Stat(filepath.Join(to, "pg_notify")); err != nil || st.Mode().Perm() != 0o700 {
			t.Errorf("the empty folder: %v, %v", st, err)
		}
	})
	t.Run("a damaged archive is removed and leaves no data", func(t *testing.T) {
		for _, damage := range []func([]byte) []byte{
			func(b []byte) []byte { return b[:len(b)/2] },
			func(b []byte) []byte { b[len(b)/2] ^= 1; return b },
			func([]byte) []byte { return nil },
			func(b []byte) []byte { return append(b, 0) },
		} {
			c := newCache(t)
			from, _ := someData(t)
			c.save(from)
			whole, err := os.ReadFile(c.archive())
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(c.archive(), damage(whole), 0o600); err != nil {
				t.Fatal(err)
			}
			to := filepath.Join(t.TempDir(), "data")
			if err := c.load(to); !errors.Is(err, errNotCached) {
				t.Errorf("load: %v", err)
			}
			for _, path := range []string{to, c.archive()} {
				if _, err := os.Stat(path); !errors.Is(err, os.ErrNotExist) {
					t.Errorf("%s is still there: %v", path, err)
				}
			}
		}
	})
	t.Run("an archive is used for a week", func(t *testing.T) {
		c := newCache(t)
		from, _ := someData(t)
		c.save(from)
		age(t, c.archive(), cachedFor+time.Minute)
		if err := c.load(filepath.Join(t.TempDir(), "data")); !errors.Is(err, errNotCached) {
			t.Errorf("load: %v", err)
		}
	})
	t.Run("archives that are old or too many are removed", func(t *testing.T) {
		c := newCache(t)
		for i := range cachedMax + 2 {
			name := filepath.Join(c.dir, fmt.Sprintf("%d.tar", i))
			if err := os.WriteFile(name, nil, 0o600); err != nil {
				t.Fatal(err)
			}
			age(t, name, time.Duration(i+1)*time.Hour)
		}
		age(t, filepath.Join(c.dir, "1.tar"), cachedFor+time.Hour)
		from, _ := someData(t)
		c.save(from)
		left, _ := filepath.Glob(filepath.Join(c.dir, "*"))
		for i := range left {
			left[i] = filepath.Base(left[i])
		}
		if want := []string{"0.tar", "2.tar", "3.tar", "4.tar", "5.tar", "key.tar"}; !slices.Equal(left, want) {
			t.Errorf("left %v, want %v", left, want)
		}
	})
	t.Run("without a cache nothing is loaded or saved", func(t *testing.T) {
		var c *cache
		from, _ := someData(t)
		c.lock()()
		c.save(from)
		if err := c.load(filepath.Join(t.TempDir(), "data")); !errors.Is(err, errNotCached) {
			t.Errorf("load: %v", err)
		}
	})
}

func age(t *testing.T, name string, by time.Duration) {
	t.Helper()
	at := time.Now().Add(-by)
	if err := os.Chtimes(name, at, at); err != nil {
		t.Fatal(err)
	}
}

func TestKeyChangesWithEverything(t *testing.T) {
	key := func(text, name, content, source string) string {
		t.Helper()
		k, err := keyOf(text, fstest.MapFS{name: {Data: []byte(content)}},
			fstest.MapFS{"cluster.go": {Data: []byte(source)}})
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
	first := key("15.18", "1.sql", "CREATE", "package")
	if again := key("15.18", "1.sql", "CREATE", "package"); again != first {
		t.Errorf("keys of the same are %s and %s", first, again)
	}
	seen := map[string]bool{first: true}
	for _, k := range []string{
		key("15.19", "1.sql", "CREATE", "package"), key("15.18", "2.sql", "CREATE", "package"),
		key("15.18", "1.sql", "create", "package"), key("15.18", "1.sql", "CREATE", "package 2"),
	} {
		if seen[k] {
			t.Errorf("two have the key %s", k)
		}
		seen[k] = true
	}
}

// The server refuses data that cannot be served; then new ones are made, and cached.
func TestRefusedDataAreMadeAnew(t *testing.T) {
	programs, err := localpg.FindPrograms(os.Getenv)
	if err != nil {
		skipOrFail(t, err)
	}
	version, err := os.ReadFile(filepath.Join(dataIn(Cluster(t)), "PG_VERSION"))
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("HOME", t.TempDir())
	t.Setenv("XDG_CACHE_HOME", "")
	ctx := context.Background()
	c, err := openCache(programs)
	if err != nil {
		t.Fatal(err)
	}
	broken, _ := someData(t)
	if err := os.WriteFile(filepath.Join(broken, "PG_VERSION"), version, 0o600); err != nil {
		t.Fatal(err)
	}
	c.save(broken)
	dir := Folder(t)
	if err := os.Mkdir(dir, 0o711); err != nil {
		t.Fatal(err)
	}
	s, err := startIn(ctx, dir, programs)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = s.Stop() }()
	conn, err := pgx.Connect(ctx, s.DSN("postgres"))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	var made bool
	const query = "SELECT count(*) = 1 FROM pg_database WHERE datname = $1 AND NOT datallowconn"
	if err := conn.QueryRow(ctx, query, schema).Scan(&made); err != nil || !made {
		t.Errorf("the schema is there: %v, %v", made, err)
	}
	if err := c.load(filepath.Join(t.TempDir(), "data")); !errors.Is(err, errNotCached) {
		t.Errorf("the broken data are still cached: %v", err)
	}
}
