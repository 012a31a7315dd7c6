package postgres_test

import (
	"context"
	"os"
	"testing"

	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
)

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
