package main

import (
	"context"
	"testing"

	"github.com/jackc/pgx/v5"
)

// eventIDs lists every record of every roll in a database.
func eventIDs(t *testing.T, dsn string) map[string]bool {
	t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	rows, _ := conn.Query(ctx, `SELECT id::text FROM roll_events`)
	ids, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]bool{}
	for _, id := range ids {
		all[id] = true
	}
	return all
}
