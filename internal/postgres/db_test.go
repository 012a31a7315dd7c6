package postgres_test

import (
	"bytes"
	"context"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"

	"saltbush/internal/localpg"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
)

func TestMigrateUpDownUp(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	_, dsn := open(t)
	first := dump(t, dsn)
	if err := postgres.MigrateDown(ctx, dsn); err != nil {
		t.Fatal(err)
	}
	if b := dump(t, dsn); bytes.Contains(b, []byte("CREATE TABLE")) {
		t.Errorf("tables are left after every step back:\n%s", b)
	}
	if err := postgres.Migrate(ctx, dsn); err != nil {
		t.Fatal(err)
	}
	if again := dump(t, dsn); !bytes.Equal(first, again) {
		t.Errorf("up, down, up made another schema:\n%s", again)
	}
	applied, newest, err := postgres.SchemaVersion(ctx, dsn)
	if err != nil || applied != newest || newest == 0 {
		t.Errorf("at step %d of %d, %v", applied, newest, err)
	}
}

var update = flag.Bool("update", false, "write migrations/schema.sql anew")

// schema.sql is for reading; it is held to what the steps make.
func TestSchemaDumpIsCurrent(t *testing.T) {
	t.Parallel()
	const path = "../../migrations/schema.sql"
	dsn := pgtest.Database(t, postgres.Migrate)
	got := dump(t, dsn)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is not what the migrations make: run go test ./internal/postgres -run TestSchemaDump -update", path)
	}
}

// dump writes the schema as pg_dump does, without what differs between its versions.
func dump(t *testing.T, dsn string) []byte {
	t.Helper()
	programs, err := localpg.FindPrograms(os.Getenv)
	if err != nil {
		t.Skip(err)
	}
	pgDump := filepath.Join(programs, "pg_dump")
	if _, err := os.Stat(pgDump); err != nil {
		t.Skip("no pg_dump beside the server programs")
	}
	out, err := exec.Command(pgDump, "--schema-only", "--no-owner", "--no-privileges",
		"--exclude-table=goose_db_version*", "--dbname="+dsn).Output()
	if err != nil {
		t.Fatalf("pg_dump: %v", err)
	}
	noise := regexp.MustCompile(`(?m)^(--.*|SET .*|SELECT pg_catalog.*|\\.*)?\n`)
	return noise.ReplaceAll(out, nil)
}

func TestMain(m *testing.M) { os.Exit(pgtest.Main(m)) }

// open gives the test a database of its own with the newest schema.
func open(t testing.TB) (*postgres.DB, string) {
	t.Helper()
	dsn := pgtest.Migrated(t, nil)
	db, err := postgres.Open(context.Background(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	return db, dsn
}
