package localpg_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/localpg"
)

// childDir is an environment variable. If it is set, this test binary starts a cluster in
// that folder and waits to be killed.
const childDir = "LOCALPG_TEST_CHILD_DIR"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childDir); dir != "" {
		child(dir)
	}
	os.Exit(m.Run())
}

func child(dir string) {
	s, err := localpg.Start(context.Background(), localpg.Options{Dir: dir})
	if err != nil {
		fmt.Println("error:", err)
		os.Exit(1)
	}
	fmt.Println(s.DSN("postgres"))
	select {} // until killed
}

// programs returns the server programs of this machine, or skips the test.
func programs(t testing.TB) string {
	t.Helper()
	dir, err := localpg.FindPrograms(os.Getenv)
	if errors.Is(err, localpg.ErrNoPrograms) && os.Getenv("CI") != "true" {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	return dir
}

// takesLong skips a test with -short that makes a cluster from nothing, or kills another server.
func takesLong(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("takes long")
	}
}

// folder makes a temporary folder on disk that every account can enter, for programs: shared
// memory, where pgtest.Folder is, may not allow to run them.
func folder(t testing.TB) string {
	t.Helper()
	dir, err := os.MkdirTemp("/tmp", "localpg-test")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return dir
}

// start starts a cluster that is stopped when the test ends.
func start(t testing.TB, o localpg.Options) *localpg.Server {
	t.Helper()
	programs(t)
	s, err := localpg.Start(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Stop() })
	return s
}

func stop(t testing.TB, s *localpg.Server) {
	t.Helper()
	if err := s.Stop(); err != nil {
		t.Fatalf("stop: %v", err)
	}
}

// query returns one text from the database.
func query(t testing.TB, dsn, sql string, args ...any) (out string) {
	t.Helper()
	c := connect(t, dsn)
	defer c.Close(context.Background())
	if err := c.QueryRow(context.Background(), sql, args...).Scan(&out); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	return out
}

func exec(t testing.TB, dsn, sql string) {
	t.Helper()
	c := connect(t, dsn)
	defer c.Close(context.Background())
	if _, err := c.Exec(context.Background(), sql); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
}

func connect(t testing.TB, dsn string) *pgx.Conn {
	t.Helper()
	c, err := pgx.Connect(context.Background(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// script writes an executable shell script.
func script(t testing.TB, dir, name, body string) {
	t.Helper()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name), []byte("#!/bin/sh\n"+body+"\n"), 0o755); err != nil {
		t.Fatal(err)
	}
}
