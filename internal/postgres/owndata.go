package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
)

// ForgetPerson deletes the data of one person at their request. If they had a place, who accepted
// the risks is stored until a claim has expired; otherwise nothing stays. Free texts on the roll
// are deleted later, with the names of the whole roll.
func (db *DB) ForgetPerson(ctx context.Context, id string, now time.Time, rules rules.Rules) error {
	var of ref.Hike
	err := db.inTx(ctx, func(ctx context.Context) error {
		h, s, err := db.lockPlace(ctx, id)
		if err != nil {
			return err
		}
		of = h.ID
		if err := db.mayForget(ctx, h, s, now); err != nil {
			return err
		}
		r := deletionRun{DB: db, now: now, rules: rules, by: "the person"}
		if err := r.forget(ctx, h, s.ID); err != nil {
			return err
		}
		return r.log(ctx, retention.Deletion{Hike: h.ID, Kind: retention.OwnData, Gone: 1})
	})
	if err == nil {
		db.touch(of)
	}
	return wrapErr(err, "forget sign-up %s", id)
}

// mayForget refuses while others may have to find the person, and while a hold is in force.
func (db *DB) mayForget(ctx context.Context, h hike.Hike, s signup.SignUp, now time.Time) error {
	held, err := db.isHeld(ctx, h.ID)
	if err != nil {
		return err
	}
	switch {
	case held:
		return fault.Refusal("A legal hold stands on this hike: something happened on it, or a claim is open. " +
			"Nothing of it may be deleted, by anybody, until the hold is lifted. Ask again then.")
	case h.State == hike.Posted && s.HearsAnnouncements() && now.Before(h.Start) && !h.OnDay(now):
		return fault.Refusal("Give your place back first.")
	case h.State != hike.Closed && h.OnDay(now):
		return fault.Refusal("This hike is about to leave, out, or not closed yet. What is kept of you is there to " +
			"find you and to bring you home; ask again when the hike is closed.")
	}
	return nil
}

// forgetMessages deletes the messages about a person and those to their address. If somebody else
// signed up with the same address, messages to it stay.
const forgetMessages = `
	UPDATE outbox SET recipient = '', subject = '', body = '', attached = '[]', last_error = '',
		state = CASE WHEN state = 'queued' THEN 'failed' ELSE state END
	WHERE strpos(key, @id) > 0
		OR recipient <> ''
		AND recipient IN (SELECT email FROM signups WHERE id::text = @id)
		AND NOT EXISTS (
			SELECT FROM signups a JOIN signups b ON lower(a.email) = lower(b.email) AND a.id <> b.id
			WHERE a.id::text = @id
		)`

func (r *deletionRun) forget(ctx context.Context, h hike.Hike, id string) error {
	// The time for a claim starts at the close, or at the start of a hike that was never closed.
	closed, err := value[time.Time](ctx, r.DB, `SELECT coalesce(closed, start) FROM hikes WHERE id = @hike`,
		args{"hike": h.ID})
	if err != nil {
		return err
	}
	if err := r.saveWaivers(ctx, h.ID, id, closed); err != nil {
		return err
	}
	const name = `'Participant who had their name deleted'`
	batch := &pgx.Batch{}
	for _, sql := range []string{
		forgetMessages,
		`DELETE FROM medical_cards WHERE signup_id::text = @id`,
		`DELETE FROM rides WHERE person::text = @id`,
		`DELETE FROM announcement_recipients WHERE signup_id::text = @id`,
		`DELETE FROM links WHERE purpose IN ('place', 'contact') AND subject = @id`,
		`DELETE FROM signups s WHERE id::text = @id AND state <> 'confirmed' AND NOT ` + onRoll,
		`UPDATE signups SET ` + clearing(name, retention.Contacts, retention.Names, retention.Plates) + `
			WHERE id::text = @id`,
	} {
		batch.Queue(sql, args{"id": id})
	}
	return r.send(ctx, batch)
}

// OwnRecords loads what is on file about a person outside their sign-up.
func (db *DB) OwnRecords(ctx context.Context, id string) (retention.OwnRecords, error) {
	o, err := one[retention.OwnRecords](ctx, db, `
		SELECT
			coalesce(r.town, '') AS town,
			r.shares,
			w.expires AS waiver,
			EXISTS (SELECT FROM legal_holds l WHERE l.hike_id = s.hike_id AND l.lifted IS NULL) AS held,
			(SELECT coalesce(json_agg(json_build_object(
					'At', e.at,
					'Kind', e.body->>'kind',
					'Place', coalesce(e.body->>'place', '')
				) ORDER BY e.at, e.seq), '[]')
				FROM roll_events e
				WHERE e.hike_id = s.hike_id AND `+namesSignUp+`) AS roll,
			(SELECT coalesce(json_agg(json_build_object(
					'At', o.created,
					'To', o.recipient,
					'Subject', o.subject
				) ORDER BY o.created, o.id), '[]')
				FROM outbox o
				WHERE strpos(o.key, @id) > 0 AND o.recipient <> '') AS mail
		FROM signups s
		LEFT JOIN rides r ON r.hike_id = s.hike_id AND r.person = s.id
		LEFT JOIN waivers w ON w.person = s.id
		WHERE s.id::text = @id`, args{"id": id})
	return o, wrapErr(err, "load what is on file about %s", id)
}
