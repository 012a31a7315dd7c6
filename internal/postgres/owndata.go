package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
)

// ForgetPerson deletes what is kept of a person, by that person's wish. Who accepted the
// risks is kept by itself until a claim has run out, of those who had a place; of others
// nothing stays. The free texts of the roll go with its names.
func (db *DB) ForgetPerson(ctx context.Context, id string, now time.Time, rules hike.Rules) error {
	var of hike.HikeID
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := hikeOfSignUp(ctx, tx, id)
		if err != nil {
			return err
		}
		of = h.ID
		if err := mayForget(ctx, tx, h, id, now); err != nil {
			return err
		}
		r := retiring{tx: tx, now: now, rules: rules, by: "the person"}
		if err := r.forget(ctx, h, id); err != nil {
			return err
		}
		return r.log(ctx, hike.Retirement{Hike: h.ID, Kind: hike.RetiredOwnData, Gone: 1})
	})
	if err == nil {
		db.touch(of)
	}
	return found(err, "forget sign-up %s", id)
}

// mayForget is a refusal while others may have to find the person, or a hold stands.
func mayForget(ctx context.Context, tx pgx.Tx, h hike.Hike, id string, now time.Time) error {
	held, err := isHeld(ctx, tx, h.ID)
	if err != nil {
		return err
	}
	var placed bool
	if err := tx.QueryRow(ctx, `SELECT state NOT IN ('withdrawn', 'turned away') FROM signups WHERE id = $1`, id).Scan(&placed); err != nil {
		return err
	}
	switch {
	case held:
		return hike.Refusal("A legal hold stands on this hike: something happened on it, or a claim is open. Nothing of it may be deleted, by anybody, until the hold is lifted. Ask again then.")
	case h.State == hike.Posted && placed && now.Before(h.Start) && !h.OnDay(now):
		return hike.Refusal("Give your place back first.")
	case h.State != hike.Closed && h.OnDay(now):
		return hike.Refusal("This hike is about to leave, out, or not closed yet. What is kept of you is there to find you and to bring you home; ask again when the hike is closed.")
	}
	return nil
}

func (r *retiring) forget(ctx context.Context, h hike.Hike, id string) error {
	// A claim counts from the close; where there is none yet, from the start.
	closed := h.Start
	if err := r.tx.QueryRow(ctx, `SELECT coalesce(closed, start) FROM hikes WHERE id = $1`, h.ID).Scan(&closed); err != nil {
		return err
	}
	if _, err := keepWaivers(ctx, r.tx, r.rules, h.ID, id, closed); err != nil {
		return err
	}
	batch := &pgx.Batch{}
	batch.Queue(`
		UPDATE outbox SET recipient = '', subject = '', body = '', attached = '[]', last_error = '',
			state = CASE WHEN state = 'queued' THEN 'failed' ELSE state END
		WHERE strpos(key, $1) > 0 OR recipient <> '' AND recipient IN (SELECT email FROM signups WHERE id::text = $1)
			AND NOT EXISTS (SELECT FROM signups a JOIN signups b ON lower(a.email) = lower(b.email) AND a.id <> b.id WHERE a.id::text = $1)`, id)
	batch.Queue(`DELETE FROM medical_cards WHERE signup_id::text = $1`, id)
	batch.Queue(`DELETE FROM rides WHERE person::text = $1`, id)
	batch.Queue(`DELETE FROM told WHERE signup_id::text = $1`, id)
	batch.Queue(`DELETE FROM links WHERE purpose IN ('place', 'contact') AND subject = $1`, id)
	batch.Queue(`DELETE FROM signups s WHERE id::text = $1 AND state <> 'confirmed' AND NOT `+onRoll, id)
	batch.Queue(blankContacts+`, name = 'Participant who had their name deleted', guardian = '', adult = '',
		car_plate = '', car_make = '', car_colour = '', car_seats = 0, car_lot = '' WHERE id::text = $1`, id)
	return r.tx.SendBatch(ctx, batch).Close()
}

// OwnRecords loads what is kept of a person beside their sign-up.
func (db *DB) OwnRecords(ctx context.Context, id string) (o hike.OwnRecords, err error) {
	err = db.pool.QueryRow(ctx, `
		SELECT
			coalesce(r.town, ''),
			r.shares,
			w.goes,
			EXISTS (SELECT FROM legal_holds l WHERE l.hike_id = s.hike_id AND l.lifted IS NULL)
		FROM signups s
		LEFT JOIN rides r ON r.hike_id = s.hike_id AND r.person = s.id
		LEFT JOIN waivers w ON w.person = s.id
		WHERE s.id::text = $1`, id).Scan(&o.Town, scanZero(&o.Shares), scanZero(&o.Waiver), &o.Held)
	if err == nil {
		o.Roll, err = db.ownRoll(ctx, id)
	}
	if err == nil {
		o.Mail, err = db.ownMail(ctx, id)
	}
	return o, found(err, "load what is kept of %s", id)
}

func (db *DB) ownRoll(ctx context.Context, id string) ([]hike.OwnRoll, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT at, body->>'kind', coalesce(body->>'place', '')
		FROM roll_events
		WHERE hike_id = (SELECT hike_id FROM signups WHERE id::text = $1) AND strpos(body::text, $1) > 0
		ORDER BY at, seq`, id)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (e hike.OwnRoll, err error) { return e, row.Scan(&e.At, &e.Kind, &e.Place) })
}

func (db *DB) ownMail(ctx context.Context, id string) ([]hike.OwnMail, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT created, recipient, subject
		FROM outbox
		WHERE strpos(key, $1) > 0 AND recipient <> ''
		ORDER BY created, id`, id)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (m hike.OwnMail, err error) { return m, row.Scan(&m.At, &m.To, &m.Subject) })
}
