package postgres

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
)

// Retire deletes what is due, once a day: whoever notes the day first does its run, in one
// transaction, and whoever comes at the same time waits for that and does nothing.
func (db *DB) Retire(ctx context.Context, now time.Time, rules hike.Rules, by string) (done []hike.Retirement, err error) {
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		day := now.UTC().Format(time.DateOnly)
		tag, err := tx.Exec(ctx, `INSERT INTO retiring_days (day, at, by_whom) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING`, day, now, by)
		if err != nil || tag.RowsAffected() == 0 {
			return err
		}
		r := retiring{tx: tx, now: now, rules: rules, by: by}
		if err := r.run(ctx); err != nil {
			return err
		}
		done = r.done
		return nil
	})
	for _, d := range done {
		db.touch(d.Hike)
	}
	return done, found(err, "delete what is due")
}

// retiring is one run.
type retiring struct {
	tx    pgx.Tx
	now   time.Time
	rules hike.Rules
	by    string
	done  []hike.Retirement
}

func (r *retiring) run(ctx context.Context) error {
	if err := holdIncidents(ctx, r.tx, r.now); err != nil {
		return err
	}
	list, err := listRetiring(ctx, r.tx, r.rules)
	if err != nil {
		return err
	}
	for _, h := range list {
		if err := r.hike(ctx, h); err != nil {
			return fmt.Errorf("hike %d: %w", h.Hike, err)
		}
	}
	if err := r.waivers(ctx); err != nil {
		return err
	}
	return r.messages(ctx)
}

// hike takes what is due from one hike. A hold that was set since the list was made is seen
// once the hike is locked: setting one locks it too.
func (r *retiring) hike(ctx context.Context, h hike.Retiring) error {
	due := h.Due(r.now)
	if len(due) == 0 {
		return nil
	}
	var held bool
	err := r.tx.QueryRow(ctx, `SELECT id = 0 FROM hikes WHERE id = $1 FOR UPDATE`, h.Hike).Scan(&held)
	if err == nil {
		held, err = isHeld(ctx, r.tx, h.Hike)
	}
	if err != nil || held {
		return err
	}
	for _, k := range due {
		n, err := r.kind(ctx, h, k)
		if err != nil {
			return fmt.Errorf("%s: %w", k, err)
		}
		if err := r.log(ctx, hike.Retirement{Hike: h.Hike, Title: h.Title, Kind: k, Gone: n}); err != nil {
			return err
		}
	}
	return nil
}

func isHeld(ctx context.Context, q querier, id hike.HikeID) (held bool, err error) {
	err = q.QueryRow(ctx, `SELECT EXISTS (SELECT FROM legal_holds WHERE hike_id = $1 AND lifted IS NULL)`, id).Scan(&held)
	return held, err
}

func (r *retiring) kind(ctx context.Context, h hike.Retiring, k hike.Retained) (int, error) {
	switch k {
	case hike.RetainedCards:
		return r.exec(ctx, `DELETE FROM medical_cards WHERE hike_id = $1`, h.Hike)
	case hike.RetainedPlates:
		return r.plates(ctx, h.Hike)
	case hike.RetainedContacts:
		return r.contacts(ctx, h.Hike)
	case hike.RetainedNames:
		return r.names(ctx, h)
	}
	return 0, fmt.Errorf("nothing says how %q goes", k)
}

// log notes a deletion even where there was nothing to delete: it is not looked for again.
func (r *retiring) log(ctx context.Context, d hike.Retirement) error {
	d.At, d.By = r.now, r.by
	var id *hike.HikeID
	if d.Hike != 0 {
		id = &d.Hike
	}
	_, err := r.tx.Exec(ctx, `INSERT INTO retirements (hike_id, kind, gone, at, by_whom) VALUES ($1, $2, $3, $4, $5)`, id, d.Kind, d.Gone, d.At, d.By)
	r.done = append(r.done, d)
	return err
}

func (r *retiring) exec(ctx context.Context, sql string, args ...any) (int, error) {
	tag, err := r.tx.Exec(ctx, sql, args...)
	return int(tag.RowsAffected()), err
}

// all runs each statement for the hike and counts the rows of the first.
func (r *retiring) all(ctx context.Context, id hike.HikeID, statements ...string) (n int, err error) {
	for i, sql := range statements {
		rows, err := r.exec(ctx, sql, id)
		if err != nil {
			return 0, err
		}
		if i == 0 {
			n = rows
		}
	}
	return n, nil
}

func (r *retiring) plates(ctx context.Context, id hike.HikeID) (int, error) {
	n, err := r.all(ctx, id, `
		UPDATE signups SET car_plate = '', car_make = '', car_colour = '', car_seats = 0, car_lot = ''
		WHERE hike_id = $1 AND (car_plate, car_make, car_colour, car_lot) <> ('', '', '', '')`,
		// Who rides with whom, from which town, and the cars of staff.
		`DELETE FROM rides WHERE hike_id = $1`)
	if err != nil {
		return 0, err
	}
	return n, rewriteRoll(ctx, r.tx, id, roll.WithoutPlates)
}

const blankContacts = `
	UPDATE signups SET
		email = '', mobile = '', emergency_name = '', emergency_phone = '', contact_email = '', guardian_phone = '',
		longest_walk = '', told = '{}', screening = '{}', because = '', unsealed_needs = '',
		link = decode(replace(gen_random_uuid()::text, '-', ''), 'hex')`

func (r *retiring) contacts(ctx context.Context, id hike.HikeID) (int, error) {
	n, err := r.all(ctx, id,
		blankContacts+` WHERE hike_id = $1`,
		`DELETE FROM links WHERE purpose IN ('place', 'contact') AND subject IN (SELECT id::text FROM signups WHERE hike_id = $1)`,
		`DELETE FROM links WHERE purpose IN ('day', 'day watch', 'watch', 'asked') AND split_part(subject, ' ', 1) = $1::bigint::text`,
		`DELETE FROM day_links WHERE hike_id = $1`,
		`DELETE FROM told WHERE telling_id IN (SELECT id FROM tellings WHERE hike_id = $1)`,
		// Whoever asked and had no place at the end, and whom the roll does not know.
		`DELETE FROM signups s WHERE hike_id = $1 AND state <> 'confirmed' AND NOT `+onRoll)
	if err != nil {
		return 0, err
	}
	return n, rewriteRoll(ctx, r.tx, id, roll.WithoutContacts)
}

// onRoll says whether any record of its hike names the sign-up s.
const onRoll = `EXISTS (SELECT FROM roll_events e WHERE e.hike_id = s.hike_id AND strpos(e.body::text, s.id::text) > 0)`

// names keeps who accepted the risks before the names go.
func (r *retiring) names(ctx context.Context, h hike.Retiring) (int, error) {
	if _, err := keepWaivers(ctx, r.tx, r.rules, h.Hike, "", h.Closed); err != nil {
		return 0, err
	}
	n, err := r.all(ctx, h.Hike, `
		UPDATE signups s SET name = 'Participant ' || p.n, guardian = '', adult = ''
		FROM (SELECT id, row_number() OVER (ORDER BY asked_order) AS n FROM signups WHERE hike_id = $1) p
		WHERE p.id = s.id`)
	if err != nil {
		return 0, err
	}
	return n, rewriteRoll(ctx, r.tx, h.Hike, roll.WithoutNames)
}

// keepWaivers copies who accepted the risks, of one person or of everyone who had a place
// or was on the roll. Of those who joined on the day, the roll says that the risks were
// read out and accepted; no version is known.
func keepWaivers(ctx context.Context, tx pgx.Tx, rules hike.Rules, id hike.HikeID, person string, closed time.Time) (int, error) {
	tag, err := tx.Exec(ctx, `
		INSERT INTO waivers (person, hike_id, name, minor, guardian, consented, risk_version, risk_accepted, goes)
		SELECT id, hike_id, name, minor, guardian, consented, risk_version, risk_accepted, CASE WHEN minor THEN $3::timestamptz ELSE $4::timestamptz END
		FROM signups s
		WHERE hike_id = $1 AND acknowledged AND ($2 = '' OR id::text = $2) AND (state = 'confirmed' OR `+onRoll+`)
		UNION
		SELECT DISTINCT ON (p.person) p.person::uuid, hike_id, body->>'name', coalesce((body->>'minor')::boolean, false), '', NULL::timestamptz, '', at,
			CASE WHEN coalesce((body->>'minor')::boolean, false) THEN $3::timestamptz ELSE $4::timestamptz END
		FROM roll_events, jsonb_array_elements_text(CASE WHEN jsonb_typeof(body->'persons') = 'array' THEN body->'persons' ELSE '[]' END) AS p (person)
		WHERE hike_id = $1 AND $2 = '' AND body->>'kind' = 'joined' AND (body->>'agreed')::boolean
			AND NOT EXISTS (SELECT FROM signups x WHERE x.id::text = p.person)
		ON CONFLICT (person) DO NOTHING`, id, person, rules.WaiverGoes(closed, true), rules.WaiverGoes(closed, false))
	return int(tag.RowsAffected()), err
}

// rewriteRoll changes the words of a roll's records, and neither their order nor their times.
func rewriteRoll(ctx context.Context, tx pgx.Tx, id hike.HikeID, without func([]roll.Event) []roll.Event) error {
	events, err := loadEvents(ctx, tx, id)
	if err != nil || len(events) == 0 {
		return err
	}
	batch := &pgx.Batch{}
	for _, e := range without(events) {
		e.Recorded = time.Time{} // a column of its own
		body, err := json.Marshal(e)
		if err != nil {
			return fmt.Errorf("event %s: %w", e.ID, err)
		}
		batch.Queue(`UPDATE roll_events SET body = $2 WHERE id = $1`, e.ID, body)
	}
	return tx.SendBatch(ctx, batch).Close()
}

func (r *retiring) waivers(ctx context.Context) error {
	rows, _ := r.tx.Query(ctx, `
		WITH gone AS (
			DELETE FROM waivers w
			WHERE goes <= $1 AND NOT EXISTS (SELECT FROM legal_holds l WHERE l.hike_id = w.hike_id AND l.lifted IS NULL)
			RETURNING hike_id
		)
		SELECT hike_id, coalesce((SELECT title FROM hikes WHERE id = hike_id), ''), count(*) FROM gone GROUP BY hike_id ORDER BY hike_id`, r.now)
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (d hike.Retirement, err error) {
		d.Kind = hike.RetainedWaivers
		return d, row.Scan(&d.Hike, &d.Title, &d.Gone)
	})
	for _, d := range list {
		if err == nil {
			err = r.log(ctx, d)
		}
	}
	return err
}

// messages blanks what was sent so long ago. A message does not say which hike it is about:
// while a hold stands, all that was written from when that hike was made is kept.
func (r *retiring) messages(ctx context.Context) error {
	n, err := r.exec(ctx, `
		UPDATE outbox o SET recipient = '', subject = '', body = '', attached = '[]', last_error = ''
		WHERE state <> 'queued' AND created <= $1 AND (recipient, body) <> ('', '')
			AND NOT EXISTS (
				SELECT FROM legal_holds l JOIN hikes h ON h.id = l.hike_id
				WHERE l.lifted IS NULL AND o.created >= h.created AND o.created <= coalesce(h.closed, h.meet) + $2::interval
			)`, r.now.Add(-r.rules.KeepContacts), r.rules.KeepContacts)
	if err != nil || n == 0 {
		return err
	}
	return r.log(ctx, hike.Retirement{Kind: hike.RetiredMessages, Gone: n})
}
