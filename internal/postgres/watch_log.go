package postgres

import (
	"context"
	"saltbush/internal/party"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/ref"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
)

const logColumns = `
	l.hike_id AS hike,
	l.at,
	l.kind,
	l.by_whom AS by,
	l.note,
	l.step,
	l.round,
	l.due,
	l.late_by,
	l.recipient,
	l.channel,
	l.outcome,
	l.ref`

// WatchLog lists a hike's log in the order of writing, with the state of its messages.
func (db *DB) WatchLog(ctx context.Context, id ref.Hike) ([]watch.Logged, error) {
	logs, err := db.WatchLogs(ctx, []ref.Hike{id})
	return logs[id], err
}

// WatchLogs is WatchLog for several hikes in one query. It finds the messages of a line by
// their keys, which begin with the key of the line.
func (db *DB) WatchLogs(ctx context.Context, ids []ref.Hike) (map[ref.Hike][]watch.Logged, error) {
	list, err := many[watch.Logged](ctx, db, `
		SELECT`+logColumns+`,
			coalesce((
				SELECT string_agg(
					o.channel || ' ' || o.state || CASE WHEN o.last_error = '' THEN '' ELSE ': ' || o.last_error END,
					'; ' ORDER BY o.channel
				)
				FROM outbox o
				WHERE l.kind = 'step' AND l.ref <> '' AND o.key IN (
					l.ref || '/alarm',
					l.ref || '/webhook',
					l.ref || '/push/1',
					l.ref || '/push/2',
					l.ref || '/push/3',
					l.ref || '/push/4',
					l.ref || '/push/5'
				)
			), '') AS delivery
		FROM watch_log l
		WHERE l.hike_id = ANY(@ids)
		ORDER BY l.id`, args{"ids": ids})
	logs := map[ref.Hike][]watch.Logged{}
	for _, l := range list {
		logs[l.Hike] = append(logs[l.Hike], l)
	}
	return logs, wrapErr(err, "load logs of watches")
}

// queueLine appends a line. The index watch_log_once ensures that a step goes to a recipient
// only once in each round.
func queueLine(batch *pgx.Batch, l watch.Logged) {
	row := args{
		"hike_id": l.Hike, "at": l.At, "kind": l.Kind, "by_whom": l.By, "note": l.Note, "step": l.Step,
		"round": l.Round, "due": l.Due, "late_by": l.LateBy, "recipient": l.Recipient, "channel": l.Channel,
		"outcome": l.Outcome, "ref": l.Ref,
	}
	batch.Queue(insertSQL("watch_log", row)+`
		ON CONFLICT (hike_id, step, round, recipient) WHERE kind = 'step' DO NOTHING`, row)
}

// AddToLog appends an acknowledgment or a note.
func (db *DB) AddToLog(ctx context.Context, l watch.Logged) error {
	batch := &pgx.Batch{}
	queueLine(batch, l)
	err := db.send(ctx, batch)
	if err == nil {
		db.touch(l.Hike)
	}
	return wrapErr(err, "add to the watch log of hike %d", l.Hike)
}

// Beat stores that a watcher has checked all watches.
func (db *DB) Beat(ctx context.Context, now time.Time, by string, failed int) error {
	row := args{"one": true, "passed": now, "by_whom": by, "failed": failed}
	err := db.exec(ctx, upsertSQL("watch_pulse", "one", row)+` WHERE @passed >= watch_pulse.passed`, row)
	return wrapErr(err, "store the watcher's pass")
}

// Pulse returns the watcher's last pass and how many steps wait.
func (db *DB) Pulse(ctx context.Context, now time.Time) (watch.Pulse, error) {
	p, err := one[watch.Pulse](ctx, db, `
		SELECT
			p.passed,
			coalesce(p.by_whom, '') AS by,
			coalesce(p.failed, 0) AS failed,
			(SELECT count(*) FROM watch_rungs WHERE state = 'waiting') AS waiting,
			(SELECT count(*) FROM watch_rungs WHERE state = 'waiting' AND planned < @stale) AS overdue
		FROM (SELECT) AS always
		LEFT JOIN watch_pulse p ON true`, args{"stale": now.Add(-watch.Stale)})
	return p, wrapErr(err, "load the watcher's pass")
}

// dayRow is an event of a roll or a line of a log, with its hike.
type dayRow struct {
	HikeID ref.Hike
	Title  string
	Zone   string
}

func (r dayRow) entry() watch.DayEntry {
	return watch.DayEntry{Hike: r.HikeID, Title: r.Title, Zone: trail.Trail{Zone: r.Zone}.Location()}
}

// Day lists what happened on all hikes within [from, to), the latest first: at most so many
// events of rolls, and as many lines of logs.
func (db *DB) Day(ctx context.Context, from, to time.Time, most int) ([]watch.DayEntry, error) {
	which := args{"from": from, "to": to, "most": most}
	records, err := db.recordsBetween(ctx, which)
	if err != nil {
		return nil, wrapErr(err, "list records of a day")
	}
	lines, err := db.linesBetween(ctx, which)
	list := append(records, lines...)
	watch.SortDay(list)
	return list, wrapErr(err, "list lines of a day")
}

func (db *DB) recordsBetween(ctx context.Context, which args) ([]watch.DayEntry, error) {
	rows, err := many[struct {
		dayRow
		Body     party.Event
		Recorded time.Time
		Names    []string
	}](ctx, db, `
		SELECT
			e.hike_id,
			h.title,
			t.zone,
			e.body,
			e.recorded,
			array(
				SELECT coalesce(s.name, a.name, '')
				FROM jsonb_array_elements_text(coalesce(e.body->'persons', '[]')) AS p (id)
				LEFT JOIN signups s ON s.id::text = p.id
				LEFT JOIN hike_staff f ON f.person::text = p.id
				LEFT JOIN accounts a ON a.id = f.account_id
				LIMIT 5
			) AS names
		FROM roll_events e
		JOIN hikes h ON h.id = e.hike_id
		JOIN trails t ON t.id = h.trail_id
		WHERE e.at >= @from AND e.at < @to
		ORDER BY e.at DESC, e.seq DESC
		LIMIT @most`, which)
	var list []watch.DayEntry
	for _, r := range rows {
		d := r.entry()
		r.Body.Recorded = r.Recorded
		d.Record, d.Names = &r.Body, r.Names
		list = append(list, d)
	}
	return list, err
}

func (db *DB) linesBetween(ctx context.Context, which args) ([]watch.DayEntry, error) {
	rows, err := many[struct {
		dayRow
		watch.Logged
	}](ctx, db, `
		SELECT`+logColumns+`,
			'' AS delivery,
			l.hike_id,
			h.title,
			t.zone
		FROM watch_log l
		JOIN hikes h ON h.id = l.hike_id
		JOIN trails t ON t.id = h.trail_id
		WHERE l.at >= @from AND l.at < @to
		ORDER BY l.at DESC, l.id DESC
		LIMIT @most`, which)
	var list []watch.DayEntry
	for _, r := range rows {
		d := r.entry()
		d.Line = &r.Logged
		list = append(list, d)
	}
	return list, err
}
