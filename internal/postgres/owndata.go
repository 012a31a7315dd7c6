package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
)

// ForgetPerson deletes what is kept of a person, by that person's wish. Of those who had a
// place, who accepted the risks is kept until a claim has run out; of others nothing stays.
// The free texts of the roll go with its names.
func (db *DB) ForgetPerson(ctx context.Context, id string, now time.Time, rules hike.Rules) error {
	var of hike.HikeID
	err := db.inTx(ctx, func(ctx context.Context) error {
		h, list, i, err := db.lockPlace(ctx, id)
		if err != nil {
			return err
		}
		of = h.ID
		if err := db.mayForget(ctx, h, list[i], now); err != nil {
			return err
		}
		r := retiring{DB: db, now: now, rules: rules, by: "the person"}
		if err := r.forget(ctx, h, list[i].ID); err != nil {
			return err
		}
		return r.log(ctx, hike.Retirement{Hike: h.ID, Kind: hike.RetiredOwnData, Gone: 1})
	})
	if err == nil {
		db.touch(of)
	}
	return wrapErr(err, "forget sign-up %s", id)
}

// mayForget is a refusal while others may have to find the person, or a hold stands.
func (db *DB) mayForget(ctx context.Context, h hike.Hike, s hike.SignUp, now time.Time) error {
	held, err := db.isHeld(ctx, h.ID)
	if err != nil {
		return err
	}
	switch {
	case held:
		return hike.Refusal("A legal hold stands on this hike: something happened on it, or a claim is open. " +
			"Nothing of it may be deleted, by anybody, until the hold is lifted. Ask again then.")
	case h.State == hike.Posted && s.IsTold() && now.Before(h.Start) && !h.OnDay(now):
		return hike.Refusal("Give your place back first.")
	case h.State != hike.Closed && h.OnDay(now):
		return hike.Refusal("This hike is about to leave, out, or not closed yet. What is kept of you is there to " +
			"find you and to bring you home; ask again when the hike is closed.")
	}
	return nil
}

func (r *retiring) forget(ctx context.Context, h hike.Hike, id string) error {
	// A claim counts from the close; where there is none yet, from the start.
	closed, err := value[time.Time](ctx, r.DB, `SELECT coalesce(closed, start) FROM hikes WHERE id = @hike`,
		args{"hike": h.ID})
	if err != nil {
		return err
	}
	if err := r.keepWaivers(ctx, h.ID, id, closed); err != nil {
		return err
	}
	batch := &pgx.Batch{}
	for _, sql := range []string{
		// The letters to an address go, but for an address that somebody else shares.
		`UPDATE outbox SET recipient = '', subject = '', body = '', attached = '[]', last_error = '',
			state = CASE WHEN state = 'queued' THEN 'failed' ELSE state END
		WHERE strpos(key, @id) > 0
			OR recipient <> ''
			AND recipient IN (SELECT email FROM signups WHERE id::text = @id)
			AND NOT EXISTS (
				SELECT FROM signups a JOIN signups b ON lower(a.email) = lower(b.email) AND a.id <> b.id
				WHERE a.id::text = @id
			)`,
		`DELETE FROM medical_cards WHERE signup_id::text = @id`,
		`DELETE FROM rides WHERE person::text = @id`,
		`DELETE FROM told WHERE signup_id::text = @id`,
		`DELETE FROM links WHERE purpose IN ('place', 'contact') AND subject = @id`,
		`DELETE FROM signups s WHERE id::text = @id AND state <> 'confirmed' AND NOT ` + onRoll,
		blankContacts + `, name = 'Participant who had their name deleted', guardian = '', adult = '',
			car_plate = '', car_make = '', car_colour = '', car_seats = 0, car_lot = ''
		WHERE id::text = @id`,
	} {
		batch.Queue(sql, args{"id": id})
	}
	return r.send(ctx, batch)
}

// OwnRecords loads what is kept of a person beside their sign-up.
func (db *DB) OwnRecords(ctx context.Context, id string) (hike.OwnRecords, error) {
	o, err := one[hike.OwnRecords](ctx, db, `
		SELECT
			coalesce(r.town, '') AS town,
			r.shares,
			w.goes AS waiver,
			EXISTS (SELECT FROM legal_holds l WHERE l.hike_id = s.hike_id AND l.lifted IS NULL) AS held,
			(SELECT json_agg(json_build_object(
					'At', e.at,
					'Kind', e.body->>'kind',
					'Place', coalesce(e.body->>'place', '')
				) ORDER BY e.at, e.seq)
				FROM roll_events e
				WHERE e.hike_id = s.hike_id AND `+namesSignUp+`) AS roll,
			(SELECT json_agg(json_build_object(
					'At', o.created,
					'To', o.recipient,
					'Subject', o.subject
				) ORDER BY o.created, o.id)
				FROM outbox o
				WHERE strpos(o.key, @id) > 0 AND o.recipient <> '') AS mail
		FROM signups s
		LEFT JOIN rides r ON r.hike_id = s.hike_id AND r.person = s.id
		LEFT JOIN waivers w ON w.person = s.id
		WHERE s.id::text = @id`, args{"id": id})
	return o, wrapErr(err, "load what is kept of %s", id)
}
