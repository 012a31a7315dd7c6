package sitetest

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
)

// Main runs the tests of a package and ends the database server that they shared.
func Main(m *testing.M) int { return pgtest.Main(m) }

// Long reports whether tests take their long form, with the variable SALTBUSH_LONG set. CI
// sets it; the short form is for every day.
func Long() bool { return os.Getenv("SALTBUSH_LONG") != "" }

// cardKey seals the medical cards of all sites of a test binary.
var cardKey = card.NewKey()

// CardKey is the key of the medical cards of all sites of this test binary.
func CardKey() card.Key { return cardKey }

// Hasher is as quick as a hasher of passwords can be. Ordinary ones take a tenth of a
// second for each password.
func Hasher() *account.Hasher {
	return account.NewHasherAt(2, account.Cost{MemoryKiB: 64, Passes: 1, Lanes: 1})
}

// Open connects to a database of a test and takes the key of the medical cards into use.
// The connection ends with the test.
func Open(t testing.TB, dsn string) *postgres.DB {
	t.Helper()
	db, err := open(context.Background(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	return db
}

// connections are enough for a site with few visitors. Each one costs the server some
// milliseconds, and the jobs that begin together would open one each.
const connections = 4

func open(ctx context.Context, dsn string) (*postgres.DB, error) {
	db, err := postgres.Open(ctx, fmt.Sprintf("%s pool_max_conns=%d", dsn, connections))
	if err != nil {
		return nil, err
	}
	if err := db.TakeCardKey(ctx, cardKey, false, time.Now()); err != nil {
		db.Close()
		return nil, err
	}
	return db, nil
}

// Root is the folder of go.mod.
func Root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for ; dir != filepath.Dir(dir); dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
	}
	t.Fatal("no go.mod above the test")
	return ""
}
