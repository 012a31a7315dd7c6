package pgtest_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/localpg/pgtest"
)

func TestMain(m *testing.M) { os.Exit(pgtest.Main(m)) }

// migrated counts how often the migration ran in this binary.
var migrated atomic.Int64

func migrate(ctx context.Context, dsn string) error {
	migrated.Add(1)
	c, err := pgx.Connect(ctx, dsn)
	if err != nil {
		return err
	}
	defer c.Close(ctx)
	for i := range 30 {
		q := fmt.Sprintf("CREATE TABLE thing%[1]d (id int PRIMARY KEY, a text UNIQUE, b int); CREATE INDEX ON "+
			"thing%[1]d (b)", i)
		if _, err := c.Exec(ctx, q); err != nil {
			return err
		}
	}
	return nil
}

func connect(t *testing.T, dsn string) *pgx.Conn {
	t.Helper()
	c, err := pgx.Connect(t.Context(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close(context.Background()) })
	return c
}

func count(t *testing.T, c *pgx.Conn) (n int) {
	t.Helper()
	if err := c.QueryRow(t.Context(), "SELECT count(*) FROM thing0").Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

func TestDatabase(t *testing.T) {
	t.Run("each test has its own rows and the migration runs once", func(t *testing.T) {
		a := connect(t, pgtest.Database(t, migrate))
		b := connect(t, pgtest.Database(t, migrate))
		if _, err := a.Exec(t.Context(), "INSERT INTO thing0 VALUES (1, 'x', 2)"); err != nil {
			t.Fatal(err)
		}
		if na, nb := count(t, a), count(t, b); na != 1 || nb != 0 {
			t.Errorf("rows in a, b = %d, %d; want 1, 0", na, nb)
		}
		if n := migrated.Load(); n != 1 {
			t.Errorf("migration ran %d times, want once", n)
		}
	})
	t.Run("it is dropped after its test despite an open session", func(t *testing.T) {
		var dsn string
		t.Run("inner", func(t *testing.T) {
			dsn = pgtest.Database(t, migrate)
			c, err := pgx.Connect(context.Background(), dsn)
			if err != nil {
				t.Fatal(err)
			}
			_ = c // left open on purpose
		})
		if c, err := pgx.Connect(t.Context(), dsn); err == nil {
			c.Close(t.Context())
			t.Errorf("database %s still there after its test", dsn)
		}
	})
	t.Run("tests in parallel", func(t *testing.T) {
		for i := range 8 {
			t.Run(fmt.Sprint(i), func(t *testing.T) {
				t.Parallel()
				if n := count(t, connect(t, pgtest.Database(t, migrate))); n != 0 {
					t.Errorf("fresh copy has %d rows", n)
				}
			})
		}
	})
	t.Run("no migration gives an empty database", func(t *testing.T) {
		var n int
		c := connect(t, pgtest.Database(t, nil))
		if err := c.QueryRow(t.Context(),
			"SELECT count(*) FROM pg_tables WHERE schemaname = 'public'").Scan(&n); err != nil || n != 0 {
			t.Errorf("tables = %d, %v; want 0", n, err)
		}
	})
}

// TestWithoutPrograms runs this binary again where no programs can be found.
func TestWithoutPrograms(t *testing.T) {
	for _, tt := range []struct {
		name, ci string
		wantErr  bool
		want     string
	}{
		{"skips on a developer's machine", "", false, "--- SKIP"},
		{"fails in CI", "true", true, "--- FAIL"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			exe, err := os.Executable()
			if err != nil {
				t.Fatal(err)
			}
			c := exec.CommandContext(t.Context(), exe, "-test.v", "-test.run=^TestDatabase$/^no_migration")
			c.Env = []string{"SALTBUSH_PG_BIN=/nowhere", "CI=" + tt.ci}
			out, err := c.CombinedOutput()
			var exit *exec.ExitError
			if got := errors.As(err, &exit); got != tt.wantErr {
				t.Errorf("failed = %v, want %v", got, tt.wantErr)
			}
			if !strings.Contains(string(out), tt.want) || !strings.Contains(string(out), "apt install postgresql") {
				t.Errorf("output lacks %q or the remedy:\n%s", tt.want, out)
			}
		})
	}
}

func BenchmarkDatabase(b *testing.B) {
	pgtest.Database(b, migrate) // starts the cluster and makes the template
	for b.Loop() {
		pgtest.Database(b, migrate)
	}
}
