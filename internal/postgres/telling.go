package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/message"
)

// ChangeAndTell applies change with the hike locked and saves the hike with what change
// returns: a decision never stands without its letters in the outbox.
func (db *DB) ChangeAndTell(ctx context.Context, id hike.HikeID, now time.Time, change func(*hike.Hike, []hike.SignUp) (hike.News, []message.Mail, error)) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHike(ctx, tx, id, "FOR UPDATE OF h")
		if err != nil {
			return err
		}
		places, err := signUpsOf(ctx, tx, id)
		if err != nil {
			return err
		}
		news, letters, err := change(&h, places)
		if err != nil {
			return err
		}
		if err := saveHike(ctx, tx, h); err != nil {
			return err
		}
		return keepNews(ctx, tx, h.ID, now, news, letters)
	})
	return found(err, "decide on hike %d", id)
}

func keepNews(ctx context.Context, tx pgx.Tx, id hike.HikeID, now time.Time, news hike.News, letters []message.Mail) error {
	if news.Plan != nil {
		plan, err := savePlan(ctx, tx, *news.Plan)
		if err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `UPDATE hikes SET decision = jsonb_set(decision, '{Plan}', to_jsonb($2::bigint)) WHERE id = $1`, id, plan)
		if err != nil {
			return err
		}
	}
	if err := keepTelling(ctx, tx, id, news); err != nil {
		return err
	}
	batch, err := queueBatch(now, letters)
	if err != nil {
		return err
	}
	for _, p := range news.Places {
		batch.Queue(`UPDATE signups SET state = $2 WHERE id = $1`, p.ID, p.State)
	}
	return tx.SendBatch(ctx, batch).Close()
}

// keepTelling also takes back the reminders of what was told before: it no longer holds.
func keepTelling(ctx context.Context, tx pgx.Tx, id hike.HikeID, news hike.News) error {
	_, err := tx.Exec(ctx, `
		DELETE FROM outbox
		WHERE state = 'queued' AND key IN (
			SELECT reminder
			FROM told
			JOIN tellings ON tellings.id = told.telling_id
			WHERE tellings.hike_id = $1
		)`, id)
	if err != nil {
		return err
	}
	t := news.Telling
	var telling int64
	err = tx.QueryRow(ctx, `
		INSERT INTO tellings (hike_id, at, by_whom, outcome, words, consent)
		VALUES ($1, $2, $3, $4, $5, $6)
		RETURNING id`, id, t.At, t.By, t.Outcome, t.Words, t.Consent).Scan(&telling)
	if err != nil {
		return err
	}
	batch := &pgx.Batch{}
	for _, p := range news.To {
		batch.Queue(`INSERT INTO told (telling_id, signup_id, link, remind, reminder) VALUES ($1, $2, $3, $4, $5)`,
			telling, p.SignUp, p.Link, orNull(p.Remind), p.Reminder)
	}
	return tx.SendBatch(ctx, batch).Close()
}

const tellingColumns = `
	t.id,
	t.hike_id,
	t.at,
	t.by_whom,
	t.outcome,
	t.words,
	t.consent`

func tellingTargets(t *hike.Telling) []any {
	return []any{&t.ID, &t.Hike, &t.At, &t.By, &t.Outcome, &t.Words, &t.Consent}
}

// Heard lists the tellings of a hike, the latest first, with who has read them.
func (db *DB) Heard(ctx context.Context, id hike.HikeID) ([]hike.Heard, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT`+tellingColumns+`
		FROM tellings t
		WHERE t.hike_id = $1
		ORDER BY t.id DESC`, id)
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (h hike.Heard, err error) {
		err = row.Scan(tellingTargets(&h.Telling)...)
		return h, err
	})
	if err == nil {
		err = db.hearers(ctx, id, list)
	}
	return list, found(err, "list what was told of hike %d", id)
}

func (db *DB) hearers(ctx context.Context, id hike.HikeID, list []hike.Heard) error {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			told.telling_id,
			s.id,
			s.name,
			s.mobile,
			s.state,
			told.read,
			told.remind
		FROM told
		JOIN tellings t ON t.id = told.telling_id
		JOIN signups s ON s.id = told.signup_id
		WHERE t.hike_id = $1
		ORDER BY s.asked_order`, id)
	var telling int64
	var p hike.Told
	var read, remind *time.Time
	_, err := pgx.ForEachRow(rows, []any{&telling, &p.SignUp, &p.Name, &p.Mobile, &p.State, &read, &remind}, func() error {
		p.Read, p.Remind = orZero(read), orZero(remind)
		for i := range list {
			if list[i].ID == telling {
				list[i].To = append(list[i].To, p)
			}
		}
		return nil
	})
	return err
}

// orZero reads null as the zero time.
func orZero(t *time.Time) time.Time {
	if t == nil {
		return time.Time{}
	}
	return *t
}

// Unread counts who has not read the latest telling of each hike.
func (db *DB) Unread(ctx context.Context, ids []hike.HikeID) (map[hike.HikeID]int, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			t.hike_id,
			count(*)
		FROM tellings t
		JOIN told ON told.telling_id = t.id
		JOIN signups s ON s.id = told.signup_id
		WHERE t.hike_id = ANY($1) AND told.read IS NULL AND s.state NOT IN ('withdrawn', 'turned away')
			AND NOT EXISTS (SELECT 1 FROM tellings later WHERE later.hike_id = t.hike_id AND later.id > t.id)
		GROUP BY t.hike_id`, ids)
	out := map[hike.HikeID]int{}
	var id hike.HikeID
	var n int
	_, err := pgx.ForEachRow(rows, []any{&id, &n}, func() error {
		out[id] = n
		return nil
	})
	return out, found(err, "count who has not read")
}

func toldByLink(ctx context.Context, q querier, hash []byte) (t hike.Telling, p hike.SignUp, err error) {
	var id string
	err = q.QueryRow(ctx, `
		SELECT`+tellingColumns+`,
			told.signup_id
		FROM told
		JOIN tellings t ON t.id = told.telling_id
		WHERE told.link = $1`, hash).Scan(append(tellingTargets(&t), &id)...)
	if err != nil {
		return t, p, err
	}
	rows, _ := q.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE id = $1`, id)
	p, err = pgx.CollectExactlyOneRow(rows, scanSignUp)
	return t, p, err
}

// ToldByLink finds a telling and the person it was told to by the hash of the secret.
func (db *DB) ToldByLink(ctx context.Context, hash []byte) (hike.Telling, hike.SignUp, error) {
	t, p, err := toldByLink(ctx, db.pool, hash)
	return t, p, found(err, "find what was told by link")
}

// MarkRead records that the person has read it, applies answer to their place, and takes
// the reminder back. Reading twice keeps the first time.
func (db *DB) MarkRead(ctx context.Context, hash []byte, now time.Time, answer func(hike.Telling, *hike.SignUp)) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		t, p, err := toldByLink(ctx, tx, hash)
		if err != nil {
			return err
		}
		if _, err := hikeOfSignUp(ctx, tx, p.ID); err != nil { // whoever changes a place holds its hike
			return err
		}
		if t, p, err = toldByLink(ctx, tx, hash); err != nil {
			return err
		}
		answer(t, &p)
		batch := &pgx.Batch{}
		batch.Queue(`UPDATE told SET read = coalesce(read, $2) WHERE link = $1`, hash, now)
		batch.Queue(`UPDATE signups SET state = $2 WHERE id = $1`, p.ID, p.State)
		batch.Queue(`DELETE FROM outbox WHERE state = 'queued' AND key = (SELECT reminder FROM told WHERE link = $1)`, hash)
		return tx.SendBatch(ctx, batch).Close()
	})
	return found(err, "mark as read")
}
