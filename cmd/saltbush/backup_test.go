package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/localpg"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/sample"
)

// season fills a database with the invented reserve and one open session.
func season(ctx context.Context, dsn string) error {
	if err := postgres.Migrate(ctx, dsn); err != nil {
		return err
	}
	db, err := postgres.Open(ctx, dsn)
	if err != nil {
		return err
	}
	defer db.Close()
	if err := withCardKey(ctx, db); err != nil {
		return err
	}
	now := time.Date(2026, 5, 9, 18, 0, 0, 0, time.UTC)
	_, err = sample.Load(ctx, sample.Stores{Hikes: db, Rolls: db, Accounts: db.AccountStore(), Outbox: db.Outbox(), Cards: db},
		func() (*sample.Scenario, error) { return sample.Prepare(ctx, now) })
	if err != nil {
		return err
	}
	_, err = db.Pool().Exec(ctx, "INSERT INTO sessions (token, data, expiry) VALUES ('t', 'd', now() + interval '1 day')")
	return err
}

// content is all that a database holds, sessions aside, as text.
func content(t *testing.T, dsn string) string {
	t.Helper()
	pgDump, err := findTool(t.Context(), os.Getenv, "pg_dump", 15)
	if err != nil {
		t.Skip(err)
	}
	out, err := exec.Command(pgDump, "--no-owner", "--exclude-table-data=sessions", "--dbname="+dsn).Output()
	if err != nil {
		t.Fatal(err)
	}
	// Newer minor versions fence a dump with words that differ each time.
	return string(regexp.MustCompile(`(?m)^\\(un)?restrict .*\n`).ReplaceAll(out, nil))
}

func sessions(t *testing.T, dsn string) (n int) {
	t.Helper()
	db, err := postgres.Open(t.Context(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.Pool().QueryRow(t.Context(), "SELECT count(*) FROM sessions").Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

func TestBackupAndRestore(t *testing.T) {
	from := pgtest.Database(t, season)
	want := content(t, from)
	file := filepath.Join(t.TempDir(), "season.saltbush")
	if out, err := command(t, "backup", "--database-url", from, "--to", file); err != nil || !strings.Contains(out, file) {
		t.Fatalf("said %q, %v", out, err)
	}

	t.Run("an empty database gets everything but the sessions", func(t *testing.T) {
		to := pgtest.Database(t, nil)
		out, err := command(t, "restore", "--database-url", to, "--from", file)
		if err != nil || !regexp.MustCompile(`step (\d+) of (\d+)`).MatchString(out) {
			t.Fatalf("said %q, %v", out, err)
		}
		if diff := cmp.Diff(want, content(t, to)); diff != "" {
			t.Errorf("restored (-want +got):\n%.2000s", diff)
		}
		if was, is := sessions(t, from), sessions(t, to); was != 1 || is != 0 {
			t.Errorf("sessions before %d, after %d, want 1 and 0", was, is)
		}
	})
	t.Run("a database that holds something is left alone", func(t *testing.T) {
		to := pgtest.Database(t, postgres.Migrate)
		before := content(t, to)
		if out, err := command(t, "restore", "--database-url", to, "--from", file); err == nil || !strings.Contains(err.Error(), "not empty") {
			t.Errorf("said %q, %v", out, err)
		}
		if diff := cmp.Diff(before, content(t, to)); diff != "" {
			t.Errorf("changed (-before +after):\n%s", diff)
		}
	})
	t.Run("a file of that name is not replaced", func(t *testing.T) {
		before, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if out, err := command(t, "backup", "--database-url", from, "--to", file); err == nil || !strings.Contains(err.Error(), "exists") {
			t.Errorf("said %q, %v", out, err)
		}
		if after, _ := os.ReadFile(file); !bytes.Equal(before, after) {
			t.Error("the first backup changed")
		}
	})
	t.Run("only its owner may read it, and nothing else is left in the folder", func(t *testing.T) {
		st, err := os.Stat(file)
		if err != nil || st.Mode().Perm() != 0o600 {
			t.Errorf("mode %v, %v", st.Mode(), err)
		}
		if list, _ := os.ReadDir(filepath.Dir(file)); len(list) != 1 {
			t.Errorf("the folder holds %v", list)
		}
	})
	t.Run("a cut file leaves the database empty", func(t *testing.T) {
		whole, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		cut := filepath.Join(t.TempDir(), "cut")
		if err := os.WriteFile(cut, whole[:len(whole)*2/3], 0o600); err != nil {
			t.Fatal(err)
		}
		to := pgtest.Database(t, nil)
		if out, err := command(t, "restore", "--database-url", to, "--from", cut); err == nil {
			t.Errorf("said %q and no error", out)
		}
		if _, err := command(t, "restore", "--database-url", to, "--from", file); err != nil {
			t.Errorf("the whole file, after the cut one: %v", err)
		}
	})
	t.Run("what is no backup is refused by its name", func(t *testing.T) {
		other := filepath.Join(t.TempDir(), "other")
		if err := os.WriteFile(other, []byte("not a backup of anything"), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := command(t, "restore", "--database-url", pgtest.Database(t, nil), "--from", other)
		if err == nil || !strings.Contains(err.Error(), other) {
			t.Errorf("error %v", err)
		}
	})
}

func TestBackupWritesToStandardOutput(t *testing.T) {
	from := pgtest.Database(t, postgres.Migrate)
	content(t, from) // skips without pg_dump
	var out, said output
	err := run(t.Context(), []string{"backup", "--to", "-", "--database-url", from}, os.Getenv, &out, &said)
	// PostgreSQL's pg_backup_archiver.c, ReadHead: an archive begins with the magic PGDMP.
	if err != nil || !strings.HasPrefix(out.String(), "PGDMP") || said.String() != "" {
		t.Errorf("wrote %.20q, said %q, %v", out.String(), said.String(), err)
	}
}

func TestBackupOfThePrivateDatabase(t *testing.T) {
	if _, err := localpg.FindPrograms(os.Getenv); err != nil && os.Getenv("CI") != "true" {
		t.Skip(err)
	}
	old, fresh, dir := pgtest.Folder(t), pgtest.Folder(t), t.TempDir()
	during, after := filepath.Join(dir, "during"), filepath.Join(dir, "after")
	t.Run("while the site serves it", func(t *testing.T) {
		serve(t, "serve", "--data", old).out.await(t, "(first coordinator)")
		if out, err := command(t, "backup", "--data", old, "--to", during); err != nil {
			t.Fatalf("said %q, %v", out, err)
		}
		_, err := command(t, "restore", "--data", old, "--from", during)
		if err == nil || !strings.Contains(err.Error(), "stop the site") {
			t.Errorf("restore beside a running site: %v", err)
		}
	})
	t.Run("when nobody serves it", func(t *testing.T) {
		if out, err := command(t, "backup", "--data", old, "--to", after); err != nil {
			t.Fatalf("said %q, %v", out, err)
		}
	})
	t.Run("into a new folder, which then serves", func(t *testing.T) {
		if out, err := command(t, "restore", "--data", fresh, "--from", during); err != nil {
			t.Fatalf("said %q, %v", out, err)
		}
		if _, err := command(t, "restore", "--data", fresh, "--from", after); err == nil || !strings.Contains(err.Error(), "not empty") {
			t.Errorf("restore over it: %v", err)
		}
		serve(t, "serve", "--data", fresh).out.await(t, "(first coordinator)")
	})
	t.Run("a folder without one is not given one", func(t *testing.T) {
		empty := filepath.Join(dir, "empty")
		if _, err := command(t, "backup", "--data", empty, "--to", filepath.Join(dir, "none")); err == nil {
			t.Error("backed up nothing without an error")
		}
		if _, err := os.Stat(empty); err == nil {
			t.Error("the folder was made")
		}
	})
}

func TestPasswordStaysOffTheCommandLine(t *testing.T) {
	for _, tt := range []struct{ name, dsn, want string }{
		{"in a URL", "postgres://ann:s%40cret@db:5433/x?sslmode=disable", "postgres://ann@db:5433/x?sslmode=disable"},
		{"in a URL's query", "postgres://db/x?user=ann&password=secret", "postgres://db/x?user=ann"},
		{"in words", "host=db password=secret dbname=x", "host=db  dbname=x"},
		{"quoted", `password = 'a \' b' host=db`, " host=db"},
		{"absent", "host=/run/pg dbname=x", "host=/run/pg dbname=x"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := withoutPassword(tt.dsn); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestAnOldClientProgramIsNamed(t *testing.T) {
	dir := t.TempDir()
	stub := filepath.Join(dir, "pg_dump")
	if err := os.WriteFile(stub, []byte("#!/bin/sh\necho 'pg_dump (PostgreSQL) 15.3'\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	getenv := func(name string) string { return map[string]string{"SALTBUSH_PG_BIN": dir}[name] }
	if got, err := findTool(t.Context(), getenv, "pg_dump", 15); got != stub || err != nil {
		t.Errorf("for 15: %q, %v", got, err)
	}
	_, err := findTool(t.Context(), getenv, "pg_dump", 99)
	if err == nil || !strings.Contains(err.Error(), "99 or newer") || !strings.Contains(err.Error(), stub) {
		t.Errorf("for 99: %v", err)
	}
}
