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

	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/sample"
	"saltbush/internal/site/sitetest"
)

// season fills a database with the invented reserve and one open session.
func season(ctx context.Context, dsn string) error {
	return sitetest.Fill(ctx, dsn, func(db *postgres.DB) error {
		now := time.Date(2026, 5, 9, 18, 0, 0, 0, time.UTC)
		stores := sample.Stores{Hikes: db, Rolls: db, Accounts: db.AccountStore(), Outbox: db.Outbox(), Cards: db}
		prepare := func() (*sample.Scenario, error) { return sample.Prepare(ctx, now) }
		if _, err := sample.Load(ctx, stores, prepare); err != nil {
			return err
		}
		const session = `INSERT INTO sessions (token, data, expiry) VALUES ('t', 'd', now() + interval '1 day')`
		_, err := db.Pool().Exec(ctx, session)
		return err
	})
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

// backup writes all of a database to a file, and returns its name.
func backup(t *testing.T, dsn string) (file string) {
	t.Helper()
	file = filepath.Join(t.TempDir(), "season.saltbush")
	out, err := command(t, "backup", "--database-url", dsn, "--to", file)
	if err != nil || !strings.Contains(out, file) {
		t.Fatalf("backup said %q, %v", out, err)
	}
	return file
}

// restore fills a database from a file.
func restore(t *testing.T, dsn, file string) (string, error) {
	t.Helper()
	return command(t, "restore", "--database-url", dsn, "--from", file)
}

func wantError(t *testing.T, what, out string, err error, want string) {
	t.Helper()
	if err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("%s: said %q, %v; want an error that says %q", what, out, err, want)
	}
}

func TestRestoredDatabaseHasEverythingButSessions(t *testing.T) {
	t.Parallel()
	from, to := pgtest.Migrated(t, season), pgtest.Database(t, nil)
	want := content(t, from)
	out, err := restore(t, to, backup(t, from))
	if err != nil || !regexp.MustCompile(`step (\d+) of (\d+)`).MatchString(out) {
		t.Fatalf("said %q, %v", out, err)
	}
	if diff := cmp.Diff(want, content(t, to)); diff != "" {
		t.Errorf("restored (-want +got):\n%.2000s", diff)
	}
	if before, after := sessions(t, from), sessions(t, to); before != 1 || after != 0 {
		t.Errorf("sessions before %d, after %d; want 1 and 0", before, after)
	}
}

func TestRestoreLeavesAFullDatabaseAlone(t *testing.T) {
	t.Parallel()
	full := pgtest.Migrated(t, nil)
	before := content(t, full)
	out, err := restore(t, full, backup(t, full))
	wantError(t, "restore", out, err, "not empty")
	if diff := cmp.Diff(before, content(t, full)); diff != "" {
		t.Errorf("changed (-before +after):\n%s", diff)
	}
}

func TestBackupFile(t *testing.T) {
	t.Parallel()
	from := pgtest.Migrated(t, nil)
	content(t, from) // skips without pg_dump
	file := backup(t, from)
	t.Run("only its owner may read it", func(t *testing.T) {
		st, err := os.Stat(file)
		if err != nil || st.Mode().Perm() != 0o600 {
			t.Errorf("mode %v, %v; want 0600", st.Mode(), err)
		}
	})
	t.Run("nothing else is left in the folder", func(t *testing.T) {
		if list, _ := os.ReadDir(filepath.Dir(file)); len(list) != 1 {
			t.Errorf("the folder has %v, want the file", list)
		}
	})
	t.Run("a file of that name is not replaced", func(t *testing.T) {
		before, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		out, err := command(t, "backup", "--database-url", from, "--to", file)
		wantError(t, "backup", out, err, "exists")
		if after, _ := os.ReadFile(file); !bytes.Equal(before, after) {
			t.Error("the first backup changed")
		}
	})
}

func TestRestoreOfADamagedFile(t *testing.T) {
	if testing.Short() {
		t.Skip("restores a season twice, which takes long")
	}
	t.Parallel()
	from := pgtest.Migrated(t, season)
	content(t, from) // skips without pg_dump
	file := backup(t, from)
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	damaged := func(data []byte) string {
		name := filepath.Join(t.TempDir(), "damaged")
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	t.Run("a cut file leaves the database empty", func(t *testing.T) {
		to := pgtest.Database(t, nil)
		if out, err := restore(t, to, damaged(whole[:len(whole)*2/3])); err == nil {
			t.Errorf("said %q and no error", out)
		}
		if _, err := restore(t, to, file); err != nil {
			t.Errorf("the whole file, after the cut one: %v", err)
		}
	})
	t.Run("what is no backup is refused by its name", func(t *testing.T) {
		other := damaged([]byte("not a backup of anything"))
		out, err := restore(t, pgtest.Database(t, nil), other)
		wantError(t, "restore", out, err, other)
	})
}

func TestBackupWritesToStandardOutput(t *testing.T) {
	t.Parallel()
	from := pgtest.Migrated(t, nil)
	content(t, from) // skips without pg_dump
	var out, said output
	err := run(t.Context(), []string{"backup", "--to", "-", "--database-url", from}, os.Getenv, &out, &said)
	// PostgreSQL's pg_backup_archiver.c, ReadHead: an archive begins with the magic PGDMP.
	if err != nil || !strings.HasPrefix(out.String(), "PGDMP") || said.String() != "" {
		t.Errorf("wrote %.20q, said %q, %v; want PGDMP and silence", out.String(), said.String(), err)
	}
}

func TestBackupOfThePrivateDatabase(t *testing.T) {
	needsPrograms(t)
	old, fresh, dir := pgtest.Folder(t), pgtest.Folder(t), t.TempDir()
	during, after := filepath.Join(dir, "during"), filepath.Join(dir, "after")
	t.Run("while the site serves it", func(t *testing.T) {
		serve(t, "serve", "--data", old).await(t, firstPattern)
		if out, err := command(t, "backup", "--data", old, "--to", during); err != nil {
			t.Fatalf("said %q, %v", out, err)
		}
		out, err := command(t, "restore", "--data", old, "--from", during)
		wantError(t, "restore beside a running site", out, err, "stop the site")
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
		out, err := command(t, "restore", "--data", fresh, "--from", after)
		wantError(t, "restore over it", out, err, "not empty")
		serve(t, "serve", "--data", fresh).await(t, firstPattern)
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
