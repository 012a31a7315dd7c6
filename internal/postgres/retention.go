package postgres

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/internal/roll"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
)

// DeleteDue deletes what is due, once a day: whoever notes the day first does its run, in one
// transaction; whoever comes at the same time waits for that and does nothing.
func (db *DB) DeleteDue(
	ctx context.Context, now time.Time, rules rules.Rules, by string,
) (done []retention.Deletion, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		row := args{"day": now.UTC().Format(time.DateOnly), "at": now, "by_whom": by}
		n, err := db.count(ctx, insertSQL("deletion_runs", row)+` ON CONFLICT DO NOTHING`, row)
		if err != nil || n == 0 {
			return err
		}
		r := retiring{DB: db, now: now, rules: rules, by: by}
		if err := r.run(ctx); err != nil {
			return err
		}
		done = r.done
		return nil
	})
	for _, d := range done {
		db.touch(d.Hike)
	}
	return done, wrapErr(err, "delete what is due")
}

// retiring is one run.
type retiring struct {
	*DB
	now   time.Time
	rules rules.Rules
	by    string
	done  []retention.Deletion
}

func (r *retiring) run(ctx context.Context) error {
	if err := r.holdIncidents(ctx, r.now); err != nil {
		return err
	}
	list, err := r.listRetiring(ctx, r.rules)
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

// hike deletes what is due from one hike. Setting a hold locks the hike, so a hold that was
// set since the list was made is seen once the hike is locked here.
func (r *retiring) hike(ctx context.Context, h retention.Case) error {
	due := h.Due(r.now)
	if len(due) == 0 {
		return nil
	}
	if _, err := r.loadHike(ctx, h.Hike, forUpdate); err != nil {
		return err
	}
	if held, err := r.isHeld(ctx, h.Hike); err != nil || held {
		return err
	}
	for _, k := range due {
		n, err := r.kind(ctx, h, k)
		if err != nil {
			return fmt.Errorf("%s: %w", k, err)
		}
		if err := r.log(ctx, retention.Deletion{Hike: h.Hike, Title: h.Title, Kind: k, Gone: n}); err != nil {
			return err
		}
	}
	return nil
}

func (r *retiring) kind(ctx context.Context, h retention.Case, k retention.DataClass) (int, error) {
	switch k {
	case retention.Cards:
		return r.all(ctx, h.Hike, `DELETE FROM medical_cards WHERE hike_id = @hike`)
	case retention.Plates:
		return r.plates(ctx, h.Hike)
	case retention.Contacts:
		return r.contacts(ctx, h.Hike)
	case retention.Names:
		return r.names(ctx, h)
	}
	return 0, fmt.Errorf("nothing says how %q goes", k)
}

// log notes a deletion even where there was nothing to delete: it is not looked for again.
func (r *retiring) log(ctx context.Context, d retention.Deletion) error {
	d.At, d.By = r.now, r.by
	r.done = append(r.done, d)
	return r.exec(ctx, `
		INSERT INTO deletions (hike_id, kind, gone, at, by_whom)
		VALUES (nullif(@hike, 0), @kind, @gone, @at, @by)`, args{
		"hike": d.Hike, "kind": d.Kind, "gone": d.Gone, "at": d.At, "by": d.By,
	})
}

// all runs each statement for the hike and counts the rows of the first.
func (r *retiring) all(ctx context.Context, id ref.Hike, statements ...string) (n int, err error) {
	for i, sql := range statements {
		rows, err := r.count(ctx, sql, args{"hike": id})
		if err != nil {
			return 0, err
		}
		if i == 0 {
			n = rows
		}
	}
	return n, nil
}

func (r *retiring) plates(ctx context.Context, id ref.Hike) (int, error) {
	n, err := r.all(ctx, id, `
		UPDATE signups SET `+clearing("", retention.Plates)+`
		WHERE hike_id = @hike AND `+holding(retention.Plates),
		// Who rides with whom, from which town, and the cars of staff.
		`DELETE FROM rides WHERE hike_id = @hike`)
	if err != nil {
		return 0, err
	}
	return n, r.rewriteRoll(ctx, id, roll.WithoutPlates)
}

func (r *retiring) contacts(ctx context.Context, id ref.Hike) (int, error) {
	n, err := r.all(ctx, id,
		`UPDATE signups SET `+clearing("", retention.Contacts)+` WHERE hike_id = @hike`,
		`DELETE FROM links WHERE purpose IN ('place', 'contact')
			AND subject IN (SELECT id::text FROM signups WHERE hike_id = @hike)`,
		`DELETE FROM links WHERE purpose IN ('day', 'day watch', 'watch', 'asked')
			AND split_part(subject, ' ', 1) = @hike::bigint::text`,
		`DELETE FROM day_links WHERE hike_id = @hike`,
		`DELETE FROM announcement_recipients WHERE announcement_id IN (SELECT id FROM announcements WHERE hike_id = @hike)`,
		// People who asked, had no place at the end, and are not on the roll.
		`DELETE FROM signups s WHERE hike_id = @hike AND state <> 'confirmed' AND NOT `+onRoll)
	if err != nil {
		return 0, err
	}
	return n, r.rewriteRoll(ctx, id, roll.WithoutContacts)
}

// namesSignUp holds where the event e names the sign-up s. These are all the places in an
// event that hold the ids of people: texts that happen to hold one do not count.
const namesSignUp = `e.body @> ANY (ARRAY[
	jsonb_build_object('persons', jsonb_build_array(s.id)),
	jsonb_build_object('buddies', jsonb_build_array(s.id)),
	jsonb_build_object('parties', jsonb_build_array(jsonb_build_object('persons', jsonb_build_array(s.id)))),
	jsonb_build_object('parties', jsonb_build_array(jsonb_build_object('staff', jsonb_build_array(s.id))))
])`

// onRoll says whether any record of its hike names the sign-up s.
const onRoll = `EXISTS (SELECT FROM roll_events e WHERE e.hike_id = s.hike_id AND ` + namesSignUp + `)`

// names keeps who accepted the risks before the names go.
func (r *retiring) names(ctx context.Context, h retention.Case) (int, error) {
	if err := r.keepWaivers(ctx, h.Hike, "", h.Closed); err != nil {
		return 0, err
	}
	n, err := r.all(ctx, h.Hike, `
		UPDATE signups s SET `+clearing(`'Participant ' || p.n`, retention.Names)+`
		FROM (SELECT id, row_number() OVER (ORDER BY asked_order) AS n FROM signups WHERE hike_id = @hike) p
		WHERE p.id = s.id`)
	if err != nil {
		return 0, err
	}
	return n, r.rewriteRoll(ctx, h.Hike, roll.WithoutNames)
}

// keepWaivers copies who accepted the risks, of one person or of everyone who had a place
// or was on the roll. For those who joined on the day, the roll says that the risks were
// read out and accepted; no version is known.
func (r *retiring) keepWaivers(ctx context.Context, id ref.Hike, person string, closed time.Time) error {
	return r.exec(ctx, `
		INSERT INTO waivers (person, hike_id, name, minor, guardian, consented, risk_version, risk_accepted, expires)
		SELECT
			id, hike_id, name, minor, guardian, consented, risk_version, risk_accepted,
			CASE WHEN minor THEN @expires_minor::timestamptz ELSE @expires::timestamptz END
		FROM signups s
		WHERE hike_id = @hike
			AND acknowledged
			AND (@person = '' OR id::text = @person)
			AND (state = 'confirmed' OR `+onRoll+`)
		UNION
		SELECT DISTINCT ON (p.person)
			p.person::uuid, hike_id, body->>'name', m.minor, '', NULL::timestamptz, '', at,
			CASE WHEN m.minor THEN @expires_minor::timestamptz ELSE @expires::timestamptz END
		FROM roll_events,
			jsonb_array_elements_text(
				CASE WHEN jsonb_typeof(body->'persons') = 'array' THEN body->'persons' ELSE '[]' END
			) AS p (person),
			coalesce((body->>'minor')::boolean, false) AS m (minor)
		WHERE hike_id = @hike
			AND @person = ''
			AND body->>'kind' = 'joined'
			AND (body->>'agreed')::boolean
			AND NOT EXISTS (SELECT FROM signups x WHERE x.id::text = p.person)
		ON CONFLICT (person) DO NOTHING`, args{
		"hike": id, "person": person, "expires_minor": retention.WaiverExpires(r.rules, closed, true),
		"expires": retention.WaiverExpires(r.rules, closed, false),
	})
}

// waiversRow is how many waivers of a hike went.
type waiversRow struct {
	Hike  ref.Hike
	Title string
	Gone  int
}

func (r *retiring) waivers(ctx context.Context) error {
	rows, err := many[waiversRow](ctx, r.DB, `
		WITH gone AS (
			DELETE FROM waivers w
			WHERE expires <= @now
				AND NOT EXISTS (SELECT FROM legal_holds l WHERE l.hike_id = w.hike_id AND l.lifted IS NULL)
			RETURNING hike_id
		)
		SELECT
			hike_id AS hike,
			coalesce((SELECT title FROM hikes WHERE id = hike_id), '') AS title,
			count(*) AS gone
		FROM gone
		GROUP BY hike_id
		ORDER BY hike_id`, args{"now": r.now})
	for _, w := range rows {
		if err == nil {
			err = r.log(ctx, retention.Deletion{Hike: w.Hike, Title: w.Title, Kind: retention.Waivers, Gone: w.Gone})
		}
	}
	return err
}

// messages blanks what was sent so long ago. A message does not say which hike it is about:
// while a hold stands, all that was written since that hike was made is kept.
func (r *retiring) messages(ctx context.Context) error {
	n, err := r.count(ctx, `
		UPDATE outbox o SET recipient = '', subject = '', body = '', attached = '[]', last_error = ''
		WHERE state <> 'queued' AND created <= @before AND (recipient, body) <> ('', '')
			AND NOT EXISTS (
				SELECT FROM legal_holds l JOIN hikes h ON h.id = l.hike_id
				WHERE l.lifted IS NULL
					AND o.created >= h.created
					AND o.created <= coalesce(h.closed, h.meet) + @keep::interval
			)`, args{"before": r.now.Add(-r.rules.KeepContacts), "keep": r.rules.KeepContacts})
	if err != nil || n == 0 {
		return err
	}
	return r.log(ctx, retention.Deletion{Kind: retention.Messages, Gone: n})
}

// ForgetPerson deletes what is kept of a person, by that person's wish. Of those who had a
// place, who accepted the risks is kept until a claim has run out; of others nothing stays.
// The free texts of the roll go with its names.
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
		r := retiring{DB: db, now: now, rules: rules, by: "the person"}
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

// mayForget is a refusal while others may have to find the person, or a hold stands.
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
		`DELETE FROM announcement_recipients WHERE signup_id::text = @id`,
		`DELETE FROM links WHERE purpose IN ('place', 'contact') AND subject = @id`,
		`DELETE FROM signups s WHERE id::text = @id AND state <> 'confirmed' AND NOT ` + onRoll,
		`UPDATE signups SET ` + clearing(
			`'Participant who had their name deleted'`, retention.Contacts, retention.Names, retention.Plates,
		) + ` WHERE id::text = @id`,
	} {
		batch.Queue(sql, args{"id": id})
	}
	return r.send(ctx, batch)
}

// OwnRecords loads what is kept of a person beside their sign-up.
func (db *DB) OwnRecords(ctx context.Context, id string) (retention.OwnRecords, error) {
	o, err := one[retention.OwnRecords](ctx, db, `
		SELECT
			coalesce(r.town, '') AS town,
			r.shares,
			w.expires AS waiver,
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
