package main

import (
	"context"
	"net"
	"path/filepath"
	"testing"
	"time"

	"saltbush/internal/localpg/pgtest"
)

// startUntil starts the program and cancels it after a while. Wherever it stands then, it
// must end without an error.
func startUntil(t *testing.T, after time.Duration, args ...string) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	defer time.AfterFunc(after, stop).Stop()
	out := &output{}
	if err := run(ctx, append(args, "--listen", "127.0.0.1:0"), noEnv, out, out); err != nil {
		t.Errorf("cancelled after %v, it ended with %v\n%s", after, err, out)
	}
}

func TestCancelledStartIsACleanEnd(t *testing.T) {
	t.Parallel()
	apart := 40 * time.Millisecond
	if testing.Short() {
		apart = 120 * time.Millisecond
	}
	for after := time.Duration(0); after < 400*time.Millisecond; after += apart {
		startUntil(t, after, "serve", "--database-url", pgtest.Database(t, nil))
	}
}

// What a cancelled start leaves in the folder of its own database is started again.
func TestCancelledStartWithADatabaseOfItsOwn(t *testing.T) {
	t.Parallel()
	needsPrograms(t)
	data := filepath.Join(pgtest.Folder(t), "demo")
	for _, after := range []time.Duration{0, 300 * time.Millisecond, 900 * time.Millisecond} {
		startUntil(t, after, "demo", "--data", data)
	}
}

// A start that fails by itself says so.
func TestFailedStartIsAnError(t *testing.T) {
	t.Parallel()
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	dsn := pgtest.Migrated(t, nil)
	for _, tt := range []struct {
		name, dsn, listen string
		more              []string
	}{
		{"no database", "postgres://127.0.0.1:1/none", "127.0.0.1:0", nil},
		{"a taken address", dsn, taken.Addr().String(), nil},
		{"no monitor there", dsn, "127.0.0.1:0", []string{"--heartbeat", "ftp://x"}},
		{"a short secret", dsn, "127.0.0.1:0",
			[]string{"--webhook-url", "https://x.example.org", "--webhook-secret", "x"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			args := append([]string{"serve", "--database-url", tt.dsn, "--listen", tt.listen}, tt.more...)
			if out, err := command(t, args...); err == nil {
				t.Errorf("said %q and no error", out)
			}
		})
	}
}
