package postgres

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/watch"
)

// WatchLog lists a hike's log in the order of writing, with what has become of the
// messages.
func (db *DB) WatchLog(ctx context.Context, id hike.HikeID) ([]watch.Logged, error) {
	logs, err := db.WatchLogs(ctx, []hike.HikeID{id})
	return logs[id], err
}

// WatchLogs is WatchLog for several hikes in one query.
func (db *DB) WatchLogs(ctx context.Context, ids []hike.HikeID) (map[hike.HikeID][]watch.Logged, error) {
	logs, err := watchLogs(ctx, db.pool, ids)
	return logs, found(err, "load logs of watches")
}

// watchLogs reads the messages' fate by their keys, which begin with that of their line.
func watchLogs(ctx context.Context, q querier, ids []hike.HikeID) (map[hike.HikeID][]watch.Logged, error) {
	rows, _ := q.Query(ctx, `
		SELECT
			l.hike_id,
			l.at,
			l.kind,
			l.by_whom,
			l.note,
			l.step,
			l.round,
			l.due,
			extract(epoch FROM l.late_by)::double precision,
			l.recipient,
			l.channel,
			l.outcome,
			coalesce((
				SELECT string_agg(o.channel || ' ' || o.state || CASE WHEN o.last_error = '' THEN '' ELSE ': ' || o.last_error END, '; ' ORDER BY o.channel)
				FROM outbox o
				WHERE l.kind = 'step' AND l.ref <> '' AND o.key IN (l.ref || '/alarm', l.ref || '/webhook', l.ref || '/push/1', l.ref || '/push/2', l.ref || '/push/3', l.ref || '/push/4', l.ref || '/push/5')
			), '')
		FROM watch_log l
		WHERE l.hike_id = ANY($1)
		ORDER BY l.id`, ids)
	list, err := pgx.CollectRows(rows, scanLogged)
	logs := map[hike.HikeID][]watch.Logged{}
	for _, l := range list {
		logs[l.Hike] = append(logs[l.Hike], l)
	}
	return logs, err
}

func scanLogged(row pgx.CollectableRow) (l watch.Logged, err error) {
	var due *time.Time
	var late float64
	err = row.Scan(&l.Hike, &l.At, &l.Kind, &l.By, &l.Note, &l.Step, &l.Round, &due, &late, &l.Recipient, &l.Channel, &l.Outcome, &l.Delivery)
	if due != nil {
		l.Due = *due
	}
	l.LateBy = time.Duration(late * float64(time.Second))
	return l, err
}

// queueLine appends a line. A step goes to a recipient once in each round, whatever
// happens: the index watch_log_once holds it.
func queueLine(batch *pgx.Batch, l watch.Logged) {
	batch.Queue(`
		INSERT INTO watch_log (hike_id, at, kind, by_whom, note, step, round, due, late_by, recipient, channel, outcome, ref)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)
		ON CONFLICT (hike_id, step, round, recipient) WHERE kind = 'step' DO NOTHING`,
		l.Hike, l.At, l.Kind, l.By, l.Note, l.Step, l.Round, orNull(l.Due), l.LateBy, l.Recipient, l.Channel, l.Outcome, l.Ref)
}

// AddToLog appends an acknowledgement or a note.
func (db *DB) AddToLog(ctx context.Context, l watch.Logged) error {
	batch := &pgx.Batch{}
	queueLine(batch, l)
	err := db.pool.SendBatch(ctx, batch).Close()
	if err == nil {
		db.touch(l.Hike)
	}
	return found(err, "add to the watch log of hike %d", l.Hike)
}

// Beat stores that a watcher has gone through all watches.
func (db *DB) Beat(ctx context.Context, now time.Time, by string, failed int) error {
	_, err := db.pool.Exec(ctx, `
		INSERT INTO watch_pulse (passed, by_whom, failed)
		VALUES ($1, $2, $3)
		ON CONFLICT (one) DO UPDATE SET passed = excluded.passed, by_whom = excluded.by_whom, failed = excluded.failed
		WHERE excluded.passed >= watch_pulse.passed`, now, by, failed)
	return found(err, "store the watcher's pass")
}

// Pulse returns the watcher's last pass and how many steps wait.
func (db *DB) Pulse(ctx context.Context, now time.Time) (p watch.Pulse, err error) {
	err = db.pool.QueryRow(ctx, `
		SELECT
			(SELECT count(*) FROM watch_rungs WHERE state = 'waiting'),
			(SELECT count(*) FROM watch_rungs WHERE state = 'waiting' AND planned < $1)`,
		now.Add(-watch.Stale)).Scan(&p.Waiting, &p.Overdue)
	if err != nil {
		return p, found(err, "count the steps of watches")
	}
	err = db.pool.QueryRow(ctx, `SELECT passed, by_whom, failed FROM watch_pulse`).Scan(&p.Passed, &p.By, &p.Failed)
	if errors.Is(err, pgx.ErrNoRows) {
		err = nil
	}
	return p, found(err, "load the watcher's pass")
}
