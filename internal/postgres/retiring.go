package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
)

// Retiring lists the hikes whose day is over and of which something is kept.
func (db *DB) Retiring(ctx context.Context, now time.Time, rules hike.Rules) ([]hike.Retiring, error) {
	list, err := listRetiring(ctx, db.pool, rules)
	if err != nil {
		return nil, found(err, "list what is kept")
	}
	over := list[:0]
	for _, r := range list {
		if r.Meet.Before(now) {
			over = append(over, r)
		}
	}
	return over, nil
}

// listRetiring lists every hike of which names or waivers are kept. A hike that was called
// off counts from when it would have met.
func listRetiring(ctx context.Context, q querier, rules hike.Rules) ([]hike.Retiring, error) {
	rows, err := q.Query(ctx, `
		SELECT
			h.id,
			h.title,
			h.state,
			h.meet,
			h.start,
			CASE h.state WHEN 'closed' THEN coalesce(h.closed, h.start) WHEN 'called off' THEN h.meet END,
			(SELECT coalesce(jsonb_object_agg(r.kind, r.at), '{}') FROM retirements r WHERE r.hike_id = h.id AND r.kind NOT IN ('waivers', 'own data')),
			l.because,
			l.by_whom,
			l.since,
			(SELECT count(*) FROM waivers w WHERE w.hike_id = h.id),
			(SELECT min(goes) FROM waivers w WHERE w.hike_id = h.id)
		FROM hikes h
		LEFT JOIN legal_holds l ON l.hike_id = h.id AND l.lifted IS NULL
		WHERE NOT EXISTS (SELECT FROM retirements r WHERE r.hike_id = h.id AND r.kind = 'names')
			OR EXISTS (SELECT FROM waivers w WHERE w.hike_id = h.id)
			OR l.id IS NOT NULL
		ORDER BY h.meet, h.id`)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (hike.Retiring, error) { return scanRetiring(row, rules) })
}

func scanRetiring(row pgx.CollectableRow, rules hike.Rules) (r hike.Retiring, err error) {
	var start time.Time
	var because, by *string
	var since time.Time
	gone := map[hike.Retained]time.Time{}
	err = row.Scan(&r.Hike, &r.Title, &r.State, &r.Meet, &start, scanZero(&r.Closed), &gone, &because, &by, scanZero(&since), &r.Waivers, scanZero(&r.NextWaiver))
	if because != nil {
		r.Hold = &hike.Hold{Hike: r.Hike, Title: r.Title, Because: *because, By: *by, Since: since}
	}
	r.Schedule(rules, start, gone)
	return r, err
}

// Retirements lists what went, the newest first.
func (db *DB) Retirements(ctx context.Context, n int) ([]hike.Retirement, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			coalesce(r.hike_id, 0),
			coalesce(h.title, ''),
			r.kind,
			r.gone,
			r.at,
			r.by_whom
		FROM retirements r
		LEFT JOIN hikes h ON h.id = r.hike_id
		WHERE r.gone > 0
		ORDER BY r.at DESC, r.id DESC
		LIMIT $1`, n)
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (d hike.Retirement, err error) {
		return d, row.Scan(&d.Hike, &d.Title, &d.Kind, &d.Gone, &d.At, &d.By)
	})
	return list, found(err, "list deletions")
}

// LastRetired is when the last daily run was.
func (db *DB) LastRetired(ctx context.Context) (at time.Time, err error) {
	err = db.pool.QueryRow(ctx, `SELECT max(at) FROM retiring_days`).Scan(scanZero(&at))
	return at, found(err, "look for the last run")
}

// Note appends a line to the log.
func (db *DB) Note(ctx context.Context, a hike.Audited) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error { return note(ctx, tx, a) })
	return found(err, "note %q", a.What)
}

func note(ctx context.Context, tx pgx.Tx, a hike.Audited) error {
	_, err := tx.Exec(ctx, `INSERT INTO audit_log (at, by_whom, what, about, note) VALUES ($1, $2, $3, $4, $5)`, a.At, a.By, a.What, a.About, a.Note)
	return err
}

// Audit lists the newest lines of all logs together.
func (db *DB) Audit(ctx context.Context, n int) ([]hike.Audited, error) {
	rows, _ := db.pool.Query(ctx, `SELECT at, by_whom, what, about, note FROM audit ORDER BY at DESC, what, about LIMIT $1`, n)
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (a hike.Audited, err error) {
		return a, row.Scan(&a.At, &a.By, &a.What, &a.About, &a.Note)
	})
	return list, found(err, "list the log")
}
