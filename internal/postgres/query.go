package postgres

import (
	"context"
	"maps"
	"slices"
	"strings"

	"github.com/jackc/pgx/v5"
)

// args are the named arguments of a statement. A name that only one of the two knows is an
// error.
type args = pgx.StrictNamedArgs

// one reads the only row of a query into a struct, each column into the field of its name.
// Without a row it is pgx.ErrNoRows.
func one[T any](ctx context.Context, db *DB, sql string, a args) (T, error) {
	rows, _ := db.conn(ctx).Query(ctx, sql, a) // the error comes with the rows
	return pgx.CollectExactlyOneRow(rows, pgx.RowToStructByName[T])
}

// many is one for any number of rows.
func many[T any](ctx context.Context, db *DB, sql string, a args) ([]T, error) {
	rows, _ := db.conn(ctx).Query(ctx, sql, a)
	return pgx.CollectRows(rows, pgx.RowToStructByName[T])
}

// value reads a query of one row and one column.
func value[T any](ctx context.Context, db *DB, sql string, a args) (T, error) {
	rows, _ := db.conn(ctx).Query(ctx, sql, a)
	return pgx.CollectExactlyOneRow(rows, pgx.RowTo[T])
}

// values reads a query of one column.
func values[T any](ctx context.Context, db *DB, sql string, a args) ([]T, error) {
	rows, _ := db.conn(ctx).Query(ctx, sql, a)
	return pgx.CollectRows(rows, pgx.RowTo[T])
}

// into reads the rows of one query of a batch.
func into[T any](list *[]T) func(pgx.Rows) error {
	return func(rows pgx.Rows) (err error) {
		*list, err = pgx.CollectRows(rows, pgx.RowToStructByName[T])
		return err
	}
}

// count runs a statement and returns how many rows it touched.
func (db *DB) count(ctx context.Context, sql string, a args) (int, error) {
	tag, err := db.conn(ctx).Exec(ctx, sql, a)
	return int(tag.RowsAffected()), err
}

// exec runs a statement.
func (db *DB) exec(ctx context.Context, sql string, a args) error {
	_, err := db.count(ctx, sql, a)
	return err
}

// execOne runs a statement that must touch a row; else it is pgx.ErrNoRows.
func (db *DB) execOne(ctx context.Context, sql string, a args) error {
	n, err := db.count(ctx, sql, a)
	if err == nil && n == 0 {
		err = pgx.ErrNoRows
	}
	return err
}

// insert adds a row: its columns are the names of the arguments.
func (db *DB) insert(ctx context.Context, table string, row args) error {
	return db.exec(ctx, insertSQL(table, row), row)
}

// upsert adds a row, or replaces the other columns of the row that has its key already.
func (db *DB) upsert(ctx context.Context, table, key string, row args) error {
	return db.exec(ctx, upsertSQL(table, key, row), row)
}

// update replaces the other columns of the row that has its id, which must be there.
func (db *DB) update(ctx context.Context, table string, row args) error {
	return db.execOne(ctx, "UPDATE "+table+" SET "+assign(row, []string{"id"})+" WHERE id = @id", row)
}

// send runs a batch in one round trip.
func (db *DB) send(ctx context.Context, b *pgx.Batch) error {
	if b.Len() == 0 {
		return nil
	}
	return db.conn(ctx).SendBatch(ctx, b).Close()
}

// insertSQL is the statement of insert, for what a caller adds to it.
func insertSQL(table string, row args) string {
	names := slices.Sorted(maps.Keys(row))
	return "INSERT INTO " + table + " (" + strings.Join(names, ", ") + ") VALUES (@" + strings.Join(names, ", @") + ")"
}

// upsertSQL is the statement of upsert, for what a caller adds to it.
func upsertSQL(table, key string, row args) string {
	keys := strings.Split(key, ", ")
	return insertSQL(table, row) + " ON CONFLICT (" + key + ") DO UPDATE SET " + assign(row, keys)
}

// assign sets every column to its argument, but for the keys.
func assign(row args, keys []string) string {
	var list []string
	for _, name := range slices.Sorted(maps.Keys(row)) {
		if !slices.Contains(keys, name) {
			list = append(list, name+" = @"+name)
		}
	}
	return strings.Join(list, ", ")
}
