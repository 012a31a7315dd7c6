package postgres_test

import (
	"bytes"
	"context"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/localpg"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/unit"
)

var update = flag.Bool("update", false, "write migrations/schema.sql anew")

// schema.sql is for readers. It must be what the migrations make.
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
		t.Errorf("%s is not what the migrations make: run go test ./internal/postgres -run TestSchemaDump -update",
			path)
	}
}

// dump returns the schema as pg_dump writes it, without what differs between its versions.
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

// open returns a new database with the newest schema.
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

// Zero values of the domain are stored as null, and null is read as zero.
func TestZeroIsStoredAsNull(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	day := unit.Date{Year: 2027, Month: time.March, Day: 14}
	secret := account.Hash(bytes.Repeat([]byte("s"), 32))
	for _, tt := range []struct {
		name, column string
		in, out      any
		null         bool
	}{
		{"no time", "timestamptz", time.Time{}, new(time.Time), true},
		{"a time, in UTC", "timestamptz", now.In(time.FixedZone("", 3600)), new(time.Time), false},
		{"no day as a time", "date", time.Time{}, new(time.Time), true},
		{"a day as a time", "date", day.Time(), new(time.Time), false},
		{"no date", "date", unit.Date{}, new(unit.Date), true},
		{"a date", "date", day, new(unit.Date), false},
		{"a hash", "bytea", secret, new(account.Hash), false},
		{"hashes", "bytea[]", []account.Hash{secret, {}}, new([]account.Hash), false},
		{"no key", "bytea", account.CodeKey{}, new(account.CodeKey), true},
		{"a key", "bytea", account.CodeKeyFromBytes([]byte("key")), new(account.CodeKey), false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var null bool
			ask := "SELECT $1::" + tt.column + ", $1::" + tt.column + " IS NULL"
			if err := db.Pool().QueryRow(ctx, ask, tt.in).Scan(tt.out, &null); err != nil {
				t.Fatal(err)
			}
			got := reflect.ValueOf(tt.out).Elem().Interface()
			want := tt.in
			if at, is := want.(time.Time); is {
				want = at.UTC()
			}
			if null != tt.null || !reflect.DeepEqual(got, want) {
				t.Errorf("null %v, read %v; want null %v, %v", null, got, tt.null, want)
			}
		})
	}
}

// A link that never expires is stored without an end.
func TestLinkThatNeverExpires(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	l := account.Link{Hash: account.Hash{1}, Target: account.PlaceTarget("41")}
	if err := db.AccountStore().AddLink(ctx, l); err != nil {
		t.Fatal(err)
	}
	if got, err := db.AccountStore().LinkByHash(ctx, l.Hash); err != nil || got != l {
		t.Errorf("link %+v, %v; want %+v", got, err, l)
	}
}
