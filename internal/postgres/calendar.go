package postgres

import (
	"bytes"
	"context"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/calendar"
)

// Number gives each event the number and time of what it tells. Nothing is written, and
// nothing locked, where nothing has changed: feeds are read far more often than changed.
func (db *DB) Number(ctx context.Context, now time.Time, events ...calendar.Event) ([]calendar.Event, error) {
	list := slices.Clone(events)
	changed, err := numberKnown(ctx, db.pool, list)
	if err != nil || len(changed) == 0 {
		return list, found(err, "number %d calendar entries", len(events))
	}
	// One after the other by name, so that two at once never wait for each other.
	slices.SortFunc(changed, func(a, b *calendar.Event) int { return bytes.Compare([]byte(a.UID), []byte(b.UID)) })
	batch := &pgx.Batch{}
	for _, e := range changed {
		d := e.Digest()
		batch.Queue(`
			INSERT INTO calendar_entries AS known (uid, digest, changed)
			VALUES ($1, $2, $3)
			ON CONFLICT (uid) DO UPDATE SET
				sequence = known.sequence + CASE WHEN known.digest = excluded.digest THEN 0 ELSE 1 END,
				digest = excluded.digest,
				changed = CASE WHEN known.digest = excluded.digest THEN known.changed ELSE excluded.changed END
			RETURNING sequence, changed`, e.UID, d[:], now).QueryRow(func(row pgx.Row) error { return row.Scan(&e.Sequence, &e.Stamp) })
	}
	return list, found(db.pool.SendBatch(ctx, batch).Close(), "number %d calendar entries", len(events))
}

// numberKnown sets what stands, and returns the events of which something else was told.
func numberKnown(ctx context.Context, q querier, events []calendar.Event) (changed []*calendar.Event, err error) {
	by := map[string]*calendar.Event{}
	uids := make([]string, len(events))
	for i := range events {
		uids[i] = events[i].UID
		by[uids[i]] = &events[i]
	}
	var uid string
	var digest []byte
	var number int
	var at time.Time
	rows, _ := q.Query(ctx, `SELECT uid, digest, sequence, changed FROM calendar_entries WHERE uid = ANY($1)`, uids)
	_, err = pgx.ForEachRow(rows, []any{&uid, &digest, &number, &at}, func() error {
		e := by[uid]
		if d := e.Digest(); bytes.Equal(d[:], digest) {
			e.Sequence, e.Stamp = number, at
			delete(by, uid)
		}
		return nil
	})
	for _, e := range by {
		changed = append(changed, e)
	}
	return changed, err
}
