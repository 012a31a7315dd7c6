package postgres

import (
	"context"
	"fmt"
	"saltbush/internal/party"
	"time"

	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/internal/rules"
)

// DeleteDue deletes what is due, once a day. The instance that stores the day first does the run,
// all in one transaction. Instances that start meanwhile wait for it and do nothing.
func (db *DB) DeleteDue(
	ctx context.Context, now time.Time, rules rules.Rules, by string,
) (done []retention.Deletion, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		row := args{"day": now.UTC().Format(time.DateOnly), "at": now, "by_whom": by}
		n, err := db.count(ctx, insertSQL("deletion_runs", row)+` ON CONFLICT DO NOTHING`, row)
		if err != nil || n == 0 {
			return err
		}
		r := deletionRun{DB: db, now: now, rules: rules, by: by}
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

// deletionRun is one run, or the deletion of one person's data.
type deletionRun struct {
	*DB
	now   time.Time
	rules rules.Rules
	by    string
	done  []retention.Deletion
}

func (r *deletionRun) run(ctx context.Context) error {
	if err := r.holdIncidents(ctx, r.now); err != nil {
		return err
	}
	list, err := r.listCases(ctx, r.rules)
	if err != nil {
		return err
	}
	for _, h := range list {
		if err := r.deleteFrom(ctx, h); err != nil {
			return fmt.Errorf("hike %d: %w", h.Hike, err)
		}
	}
	if err := r.deleteWaivers(ctx); err != nil {
		return err
	}
	return r.deleteMessages(ctx)
}

// deleteFrom deletes what is due from one hike. Setting a hold locks the hike, so a hold that was
// set after the list was made is seen once the hike is locked here.
func (r *deletionRun) deleteFrom(ctx context.Context, h retention.Case) error {
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
		n, err := r.deleteClass(ctx, h, k)
		if err != nil {
			return fmt.Errorf("%s: %w", k, err)
		}
		if err := r.log(ctx, retention.Deletion{Hike: h.Hike, Title: h.Title, Kind: k, Gone: n}); err != nil {
			return err
		}
	}
	return nil
}

// deleteClass returns how many people or records it concerned.
func (r *deletionRun) deleteClass(ctx context.Context, h retention.Case, k retention.DataClass) (int, error) {
	switch k {
	case retention.Cards:
		return r.execAll(ctx, h.Hike, deleteRows(k)...)
	case retention.Plates:
		return r.deletePlates(ctx, h.Hike)
	case retention.Contacts:
		return r.deleteContacts(ctx, h.Hike)
	case retention.Names:
		return r.deleteNames(ctx, h)
	}
	return 0, fmt.Errorf("no statements to delete %q", k)
}

// log notes a deletion even if there was nothing to delete, so that it is not due again.
func (r *deletionRun) log(ctx context.Context, d retention.Deletion) error {
	d.At, d.By = r.now, r.by
	r.done = append(r.done, d)
	return r.exec(ctx, `
		INSERT INTO deletions (hike_id, kind, gone, at, by_whom)
		VALUES (nullif(@hike, 0), @kind, @gone, @at, @by)`, args{
		"hike": d.Hike, "kind": d.Kind, "gone": d.Gone, "at": d.At, "by": d.By,
	})
}

// execAll runs the statements for the hike and returns how many rows the first one touched.
func (r *deletionRun) execAll(ctx context.Context, id ref.Hike, statements ...string) (n int, err error) {
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

// deleteRows are the statements that delete a class from the tables beside that of the sign-ups.
func deleteRows(class retention.DataClass) (statements []string) {
	for _, table := range retention.Tables(class) {
		statements = append(statements, `DELETE FROM `+table+` WHERE `+ofHike(table))
	}
	return statements
}

// ofHike is true for the rows of a table that belong to a hike.
func ofHike(table string) string {
	switch table {
	case "links":
		return `
			purpose IN ('place', 'contact') AND subject IN (SELECT id::text FROM signups WHERE hike_id = @hike)
			OR purpose IN ('day', 'day watch', 'watch', 'asked')
				AND split_part(subject, ' ', 1) = @hike::bigint::text`
	case "announcement_recipients":
		return `announcement_id IN (SELECT id FROM announcements WHERE hike_id = @hike)`
	}
	return `hike_id = @hike`
}

func (r *deletionRun) deletePlates(ctx context.Context, id ref.Hike) (int, error) {
	update := `UPDATE signups SET ` + clearing("", retention.Plates) + `
		WHERE hike_id = @hike AND ` + notCleared(retention.Plates)
	n, err := r.execAll(ctx, id, append([]string{update}, deleteRows(retention.Plates)...)...)
	if err != nil {
		return 0, err
	}
	return n, r.rewriteRoll(ctx, id, party.WithoutPlates)
}

func (r *deletionRun) deleteContacts(ctx context.Context, id ref.Hike) (int, error) {
	update := `UPDATE signups SET ` + clearing("", retention.Contacts) + ` WHERE hike_id = @hike`
	// People who had no place in the end and are not on the roll.
	others := `DELETE FROM signups s WHERE hike_id = @hike AND state <> 'confirmed' AND NOT ` + onRoll
	statements := append([]string{update}, deleteRows(retention.Contacts)...)
	n, err := r.execAll(ctx, id, append(statements, others)...)
	if err != nil {
		return 0, err
	}
	return n, r.rewriteRoll(ctx, id, party.WithoutContacts)
}

// namesSignUp is true where the event e names the sign-up s. It looks in every place of an event
// that holds ids of people; an id in a free text does not count.
const namesSignUp = `e.body @> ANY (ARRAY[
	jsonb_build_object('persons', jsonb_build_array(s.id)),
	jsonb_build_object('buddies', jsonb_build_array(s.id)),
	jsonb_build_object('parties', jsonb_build_array(jsonb_build_object('persons', jsonb_build_array(s.id)))),
	jsonb_build_object('parties', jsonb_build_array(jsonb_build_object('staff', jsonb_build_array(s.id))))
])`

// onRoll is true where any event of its hike names the sign-up s.
const onRoll = `EXISTS (SELECT FROM roll_events e WHERE e.hike_id = s.hike_id AND ` + namesSignUp + `)`

// deleteNames first stores who accepted the risks.
func (r *deletionRun) deleteNames(ctx context.Context, h retention.Case) (int, error) {
	if err := r.saveWaivers(ctx, h.Hike, "", h.Closed); err != nil {
		return 0, err
	}
	n, err := r.execAll(ctx, h.Hike, `
		UPDATE signups s SET `+clearing(`'Participant ' || p.n`, retention.Names)+`
		FROM (SELECT id, row_number() OVER (ORDER BY asked_order) AS n FROM signups WHERE hike_id = @hike) p
		WHERE p.id = s.id`)
	if err != nil {
		return 0, err
	}
	return n, r.rewriteRoll(ctx, h.Hike, party.WithoutNames)
}

// saveWaivers stores who accepted the risks: one person, or everybody who had a place or was on
// the roll. About people who joined on the day, the roll says that the risks were read out and
// accepted, but not which version.
func (r *deletionRun) saveWaivers(ctx context.Context, id ref.Hike, person string, closed time.Time) error {
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

// waiversRow is how many waivers of a hike were deleted.
type waiversRow struct {
	Hike  ref.Hike
	Title string
	Gone  int
}

func (r *deletionRun) deleteWaivers(ctx context.Context) error {
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

// deleteMessages blanks old messages. A message does not say which hike it is about, so a hold on
// a hike keeps everything written between the day the hike was made and the end of its time to
// keep contacts.
func (r *deletionRun) deleteMessages(ctx context.Context) error {
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
