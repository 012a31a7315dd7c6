package postgres

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// Day lists what happened on all hikes from one instant to before another, the latest
// first and no more than so many of each kind: records of rolls and lines of logs.
func (db *DB) Day(ctx context.Context, from, to time.Time, most int) ([]watch.DayEntry, error) {
	list, err := db.recordsBetween(ctx, from, to, most)
	if err != nil {
		return nil, found(err, "list records of a day")
	}
	lines, err := db.linesBetween(ctx, from, to, most)
	list = append(list, lines...)
	watch.SortDay(list)
	return list, found(err, "list lines of a day")
}

func (db *DB) recordsBetween(ctx context.Context, from, to time.Time, most int) ([]watch.DayEntry, error) {
	rows, _ := db.pool.Query(ctx, `
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
			)
		FROM roll_events e
		JOIN hikes h ON h.id = e.hike_id
		JOIN trails t ON t.id = h.trail_id
		WHERE e.at >= $1 AND e.at < $2
		ORDER BY e.at DESC, e.seq DESC
		LIMIT $3`, from, to, most)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (d watch.DayEntry, err error) {
		var zone string
		var body []byte
		d.Record = new(roll.Event)
		var recorded time.Time
		if err = row.Scan(&d.Hike, &d.Title, &zone, &body, &recorded, &d.Names); err != nil {
			return d, err
		}
		d.Zone = hike.Trail{Zone: zone}.Location()
		if err = json.Unmarshal(body, d.Record); err != nil {
			return d, fmt.Errorf("event of hike %d: %w", d.Hike, err)
		}
		d.Record.Recorded = recorded
		return d, nil
	})
}

func (db *DB) linesBetween(ctx context.Context, from, to time.Time, most int) ([]watch.DayEntry, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			l.hike_id,
			h.title,
			t.zone,
			l.at,
			l.kind,
			l.by_whom,
			l.note,
			l.step,
			extract(epoch FROM l.late_by)::double precision,
			l.recipient,
			l.channel,
			l.outcome
		FROM watch_log l
		JOIN hikes h ON h.id = l.hike_id
		JOIN trails t ON t.id = h.trail_id
		WHERE l.at >= $1 AND l.at < $2
		ORDER BY l.at DESC, l.id DESC
		LIMIT $3`, from, to, most)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (d watch.DayEntry, err error) {
		var zone string
		var late float64
		d.Line = new(watch.Logged)
		l := d.Line
		err = row.Scan(&d.Hike, &d.Title, &zone, &l.At, &l.Kind, &l.By, &l.Note, &l.Step, &late, &l.Recipient, &l.Channel, &l.Outcome)
		d.Zone, l.Hike, l.LateBy = hike.Trail{Zone: zone}.Location(), d.Hike, time.Duration(late*float64(time.Second))
		return d, err
	})
}
