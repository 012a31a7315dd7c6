package main

import (
	"context"
	"net"
	"path/filepath"
	"testing"
	"time"

	"saltbush/internal/localpg/pgtest"
)

// A start that is told to stop ends without an error, wherever it stands.
func TestCancelledStartIsACleanEnd(t *testing.T) {
	none := func(string) string { return "" }
	start := func(t *testing.T, ctx context.Context, args ...string) {
		t.Helper()
		out := &output{}
		if err := run(ctx, append(args, "--listen", "127.0.0.1:0"), none, out, out); err != nil {
			t.Errorf("ended with %v\n%s", err, out)
		}
	}
	cancelledAfter := func(t *testing.T, d time.Duration) context.Context {
		ctx, stop := context.WithCancel(t.Context())
		timer := time.AfterFunc(d, stop)
		t.Cleanup(func() { timer.Stop() })
		return ctx
	}
	t.Run("before it begins", func(t *testing.T) {
		ctx, stop := context.WithCancel(t.Context())
		stop()
		start(t, ctx, "serve", "--database-url", pgtest.Database(t, noMigration))
	})
	t.Run("at any time on somebody's server", func(t *testing.T) {
		for after := time.Duration(0); after < 600*time.Millisecond; after += 30 * time.Millisecond {
			start(t, cancelledAfter(t, after), "serve", "--database-url", pgtest.Database(t, noMigration))
		}
	})
	t.Run("at any time with a database of its own", func(t *testing.T) {
		data := filepath.Join(pgtest.Folder(t), "demo") // what a stopped start leaves is started again
		for _, after := range []time.Duration{0, 300 * time.Millisecond, 900 * time.Millisecond} {
			start(t, cancelledAfter(t, after), "demo", "--data", data)
		}
	})
}

// A start that fails by itself says so.
func TestFailedStartIsSaid(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	dsn := pgtest.Database(t, noMigration)
	for name, args := range map[string][]string{
		"no database":      {"--database-url", "postgres://127.0.0.1:1/none", "--listen", "127.0.0.1:0"},
		"a taken address":  {"--database-url", dsn, "--listen", taken.Addr().String()},
		"no monitor there": {"--database-url", dsn, "--listen", "127.0.0.1:0", "--heartbeat", "ftp://x"},
		"a short secret":   {"--database-url", dsn, "--listen", "127.0.0.1:0", "--webhook-url", "https://x.example.org", "--webhook-secret", "x"},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := command(t, append([]string{"serve"}, args...)...); err == nil {
				t.Error("it ended without an error")
			}
		})
	}
}
