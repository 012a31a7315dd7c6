package postgres

import (
	"context"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgtype"

	"saltbush/internal/account"
	"saltbush/internal/ref"
	"saltbush/internal/unit"
)

// args are the named arguments of a statement. A name that is missing on either side is an
// error.
type args = pgx.StrictNamedArgs

// one reads the only row of a query into a struct, each column into the field with its name.
// Without a row it returns pgx.ErrNoRows.
func one[T any](ctx context.Context, db *DB, sql string, a args) (T, error) {
	rows, _ := db.conn(ctx).Query(ctx, sql, a) // the error comes with the rows
	return pgx.CollectExactlyOneRow(rows, pgx.RowToStructByName[T])
}

// many reads all rows of a query into structs.
func many[T any](ctx context.Context, db *DB, sql string, a args) ([]T, error) {
	rows, _ := db.conn(ctx).Query(ctx, sql, a)
	return pgx.CollectRows(rows, pgx.RowToStructByName[T])
}

// value reads the only row of a query with one column.
func value[T any](ctx context.Context, db *DB, sql string, a args) (T, error) {
	rows, _ := db.conn(ctx).Query(ctx, sql, a)
	return pgx.CollectExactlyOneRow(rows, pgx.RowTo[T])
}

// values reads all rows of a query with one column.
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

// count runs a statement and returns how many rows it changed.
func (db *DB) count(ctx context.Context, sql string, a args) (int, error) {
	tag, err := db.conn(ctx).Exec(ctx, sql, a)
	return int(tag.RowsAffected()), err
}

// exec runs a statement.
func (db *DB) exec(ctx context.Context, sql string, a args) error {
	_, err := db.count(ctx, sql, a)
	return err
}

// execOne runs a statement that must change a row. Otherwise it returns pgx.ErrNoRows.
func (db *DB) execOne(ctx context.Context, sql string, a args) error {
	n, err := db.count(ctx, sql, a)
	if err == nil && n == 0 {
		err = pgx.ErrNoRows
	}
	return err
}

// insert adds a row. The names of the arguments are its columns.
func (db *DB) insert(ctx context.Context, table string, row args) error {
	return db.exec(ctx, insertSQL(table, row), row)
}

// upsert adds a row, or updates the one with the same key.
func (db *DB) upsert(ctx context.Context, table, key string, row args) error {
	return db.exec(ctx, upsertSQL(table, key, row), row)
}

// update changes the row with the id, which must exist.
func (db *DB) update(ctx context.Context, table string, row args) error {
	return db.execOne(ctx, updateSQL(table, row), row)
}

// send runs a batch in one round trip.
func (db *DB) send(ctx context.Context, b *pgx.Batch) error {
	if b.Len() == 0 {
		return nil
	}
	return db.conn(ctx).SendBatch(ctx, b).Close()
}

// insertSQL returns the statement of insert, for callers who append to it.
func insertSQL(table string, row args) string {
	names := slices.Sorted(maps.Keys(row))
	return "INSERT INTO " + table + " (" + strings.Join(names, ", ") + ") VALUES (@" + strings.Join(names, ", @") + ")"
}

// updateSQL returns the statement of update.
func updateSQL(table string, row args) string {
	return "UPDATE " + table + " SET " + assign(row, []string{"id"}) + " WHERE id = @id"
}

// upsertSQL returns the statement of upsert, for callers who append to it.
func upsertSQL(table, key string, row args) string {
	keys := strings.Split(key, ", ")
	return insertSQL(table, row) + " ON CONFLICT (" + key + ") DO UPDATE SET " + assign(row, keys)
}

// assign returns the SET list of all columns but the keys.
func assign(row args, keys []string) string {
	var list []string
	for _, name := range slices.Sorted(maps.Keys(row)) {
		if !slices.Contains(keys, name) {
			list = append(list, name+" = @"+name)
		}
	}
	return strings.Join(list, ", ")
}

// registerTypes registers the types of the domain. The zero time, date and person are stored as
// null, and null is read as zero. Times are read in UTC; the domain converts them.
func registerTypes(_ context.Context, c *pgx.Conn) error {
	m := c.TypeMap()
	m.TryWrapEncodePlanFuncs = append([]pgtype.TryWrapEncodePlanFunc{
		encodeAs(func(t time.Time) nullTime { return nullTime(t) }),
		encodeAs(func(d unit.Date) nullDate { return nullDate(d) }),
		encodeAs(func(h account.Hash) hashBytes { return hashBytes(h) }),
		encodeAs(func(k account.CodeKey) keyBytes { return keyBytes(k) }),
		encodeAs(func(p ref.Person) nullPerson { return nullPerson(p) }),
	}, m.TryWrapEncodePlanFuncs...)
	m.TryWrapScanPlanFuncs = append([]pgtype.TryWrapScanPlanFunc{
		scanAs(func(t *time.Time) *nullTime { return (*nullTime)(t) }),
		scanAs(func(d *unit.Date) *nullDate { return (*nullDate)(d) }),
		scanAs(func(h *account.Hash) *hashBytes { return (*hashBytes)(h) }),
		scanAs(func(k *account.CodeKey) *keyBytes { return (*keyBytes)(k) }),
		scanAs(func(p *ref.Person) *nullPerson { return (*nullPerson)(p) }),
	}, m.TryWrapScanPlanFuncs...)
	return nil
}

// nullTime is a time for columns of timestamps and dates.
type nullTime time.Time

// TimestamptzValue is for the driver.
func (t nullTime) TimestamptzValue() (pgtype.Timestamptz, error) {
	return pgtype.Timestamptz{Time: time.Time(t), Valid: !time.Time(t).IsZero()}, nil
}

// ScanTimestamptz is for the driver.
func (t *nullTime) ScanTimestamptz(v pgtype.Timestamptz) error {
	*t = nullTime(v.Time.UTC())
	return nil
}

// DateValue is for the driver.
func (t nullTime) DateValue() (pgtype.Date, error) {
	return pgtype.Date{Time: time.Time(t), Valid: !time.Time(t).IsZero()}, nil
}

// ScanDate is for the driver.
func (t *nullTime) ScanDate(v pgtype.Date) error {
	*t = nullTime(v.Time)
	return nil
}

// nullDate is a date for columns of dates.
type nullDate unit.Date

// DateValue is for the driver.
func (d nullDate) DateValue() (pgtype.Date, error) { return nullTime(unit.Date(d).Time()).DateValue() }

// ScanDate is for the driver.
func (d *nullDate) ScanDate(v pgtype.Date) error {
	*d = nullDate(unit.DateOf(v.Time))
	return nil
}

// hashBytes is the hash of a secret for columns of bytes.
type hashBytes account.Hash

// BytesValue is for the driver.
func (h hashBytes) BytesValue() ([]byte, error) { return h[:], nil }

// ScanBytes is for the driver.
func (h *hashBytes) ScanBytes(b []byte) error {
	hash, err := account.HashFromBytes(b)
	*h = hashBytes(hash)
	return err
}

// keyBytes is the key of a second step for columns of bytes; no key is null.
type keyBytes account.CodeKey

// BytesValue is for the driver.
func (k keyBytes) BytesValue() ([]byte, error) { return account.CodeKey(k).Bytes(), nil }

// ScanBytes is for the driver.
func (k *keyBytes) ScanBytes(b []byte) error {
	*k = keyBytes(account.CodeKeyFromBytes(b))
	return nil
}

// nullPerson is a person on a roll for columns of UUIDs; nobody is null.
type nullPerson ref.Person

// UUIDValue is for the driver.
func (p nullPerson) UUIDValue() (pgtype.UUID, error) {
	if p == "" {
		return pgtype.UUID{}, nil
	}
	id, err := uuid.Parse(string(p))
	return pgtype.UUID{Bytes: id, Valid: true}, err
}

// ScanUUID is for the driver.
func (p *nullPerson) ScanUUID(v pgtype.UUID) error {
	*p = ""
	if v.Valid {
		*p = nullPerson(uuid.UUID(v.Bytes).String())
	}
	return nil
}

// encodeAs stores each T as the W that wrap makes of it.
func encodeAs[T, W any](wrap func(T) W) pgtype.TryWrapEncodePlanFunc {
	return func(v any) (pgtype.WrappedEncodePlanNextSetter, any, bool) {
		t, ok := v.(T)
		if !ok {
			return nil, nil, false
		}
		return &encodePlan[T, W]{wrap: wrap}, wrap(t), true
	}
}

type encodePlan[T, W any] struct {
	wrap func(T) W
	next pgtype.EncodePlan
}

func (p *encodePlan[T, W]) SetNext(next pgtype.EncodePlan) { p.next = next }

func (p *encodePlan[T, W]) Encode(v any, buf []byte) ([]byte, error) {
	return p.next.Encode(p.wrap(v.(T)), buf)
}

// scanAs reads each T through the W that wraps it.
func scanAs[T, W any](wrap func(*T) *W) pgtype.TryWrapScanPlanFunc {
	return func(target any) (pgtype.WrappedScanPlanNextSetter, any, bool) {
		t, ok := target.(*T)
		if !ok {
			return nil, nil, false
		}
		return &scanPlan[T, W]{wrap: wrap}, wrap(t), true
	}
}

type scanPlan[T, W any] struct {
	wrap func(*T) *W
	next pgtype.ScanPlan
}

func (p *scanPlan[T, W]) SetNext(next pgtype.ScanPlan) { p.next = next }

func (p *scanPlan[T, W]) Scan(src []byte, target any) error {
	return p.next.Scan(src, p.wrap(target.(*T)))
}
