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
		INSERT INTO tellings (hike_id, at, by_whom, outcome, words, consent, meet, trail)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
		RETURNING id`, id, t.At, t.By, t.Outcome, t.Words, t.Consent, orNull(t.Before.Meet), t.Before.Trail).Scan(&telling)
	if err != nil {
		return err
	}
	batch := &pgx.Batch{}
	for _, p := range news.To {
		batch.Queue(`
			INSERT INTO told (telling_id, signup_id, account_id, link, remind, reminder)
			VALUES ($1, nullif($2, '')::uuid, nullif($3, 0), $4, $5, $6)`,
			telling, p.SignUp, p.Account, p.Link, orNull(p.Remind), p.Reminder)
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
	t.consent,
	t.meet,
	t.trail,
	t.stands`

func tellingTargets(t *hike.Telling) []any {
	return []any{&t.ID, &t.Hike, &t.At, &t.By, &t.Outcome, &t.Words, &t.Consent, scanZero(&t.Before.Meet), &t.Before.Trail, &t.Stands}
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
			coalesce(s.id::text, ''),
			coalesce(a.id, 0),
			coalesce(s.name, a.name),
			coalesce(s.mobile, a.phone),
			coalesce(s.state, ''),
			coalesce(m.role, ''),
			told.read,
			told.remind
		FROM told
		JOIN tellings t ON t.id = told.telling_id
		LEFT JOIN signups s ON s.id = told.signup_id
		LEFT JOIN accounts a ON a.id = told.account_id
		LEFT JOIN hike_staff m ON m.hike_id = t.hike_id AND m.account_id = a.id
		WHERE t.hike_id = $1
		ORDER BY s.asked_order NULLS FIRST, a.name`, id)
	var telling int64
	var p hike.Told
	var read, remind *time.Time
	_, err := pgx.ForEachRow(rows, []any{&telling, &p.SignUp, &p.Account, &p.Name, &p.Mobile, &p.State, &p.Role, &read, &remind}, func() error {
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
		LEFT JOIN signups s ON s.id = told.signup_id
		LEFT JOIN hike_staff m ON m.hike_id = t.hike_id AND m.account_id = told.account_id
		WHERE t.hike_id = ANY($1) AND told.read IS NULL AND (s.state NOT IN ('withdrawn', 'turned away') OR m.role IS NOT NULL)
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

// Unheard lists the hikes that start between two times and whose latest news somebody has not
// read, the earliest first.
func (db *DB) Unheard(ctx context.Context, from, to time.Time) ([]hike.HikeID, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT h.id
		FROM hikes h
		WHERE h.start BETWEEN $1 AND $2 AND EXISTS (
			SELECT 1
			FROM told
			WHERE told.read IS NULL AND told.telling_id = (SELECT max(t.id) FROM tellings t WHERE t.hike_id = h.id))
		ORDER BY h.start, h.id`, from, to)
	ids, err := pgx.CollectRows(rows, pgx.RowTo[hike.HikeID])
	return ids, found(err, "list hikes with unread news")
}

func toldByLink(ctx context.Context, q querier, hash []byte) (t hike.Telling, to hike.Hearer, err error) {
	var id string
	err = q.QueryRow(ctx, `
		SELECT`+tellingColumns+`,
			coalesce(told.signup_id::text, ''),
			coalesce(a.id, 0),
			coalesce(a.name, '')
		FROM told
		JOIN tellings t ON t.id = told.telling_id
		LEFT JOIN accounts a ON a.id = told.account_id
		WHERE told.link = $1`, hash).Scan(append(tellingTargets(&t), &id, &to.Account, &to.Name)...)
	if err != nil || id == "" {
		return t, to, err
	}
	rows, _ := q.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE id = $1`, id)
	to.Place, err = pgx.CollectExactlyOneRow(rows, scanSignUp)
	to.Name = to.Place.Name
	return t, to, err
}

// ToldByLink finds a telling and who it was told to by the hash of the secret.
func (db *DB) ToldByLink(ctx context.Context, hash []byte) (hike.Telling, hike.Hearer, error) {
	t, to, err := toldByLink(ctx, db.pool, hash)
	return t, to, found(err, "find what was told by link")
}

// MarkRead records that the person has read it, applies answer to their place where they
// have one, takes the reminder back, and offers a place that is given back to the next.
// Reading twice keeps the first time.
func (db *DB) MarkRead(ctx context.Context, hash []byte, now time.Time, answer func(hike.Telling, *hike.SignUp)) (moved []hike.SignUp, err error) {
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		_, to, err := toldByLink(ctx, tx, hash)
		if err != nil {
			return err
		}
		if to.Account == 0 {
			if moved, err = answerPlace(ctx, tx, hash, to.Place.ID, now, answer); err != nil {
				return err
			}
		}
		batch := &pgx.Batch{}
		batch.Queue(`UPDATE told SET read = coalesce(read, $2) WHERE link = $1`, hash, now)
		batch.Queue(`DELETE FROM outbox WHERE state = 'queued' AND key = (SELECT reminder FROM told WHERE link = $1)`, hash)
		return tx.SendBatch(ctx, batch).Close()
	})
	return moved, found(err, "mark as read")
}

// answerPlace applies an answer with the hike locked, as whoever changes a place does.
func answerPlace(ctx context.Context, tx pgx.Tx, hash []byte, id string, now time.Time, answer func(hike.Telling, *hike.SignUp)) ([]hike.SignUp, error) {
	h, err := hikeOfSignUp(ctx, tx, id)
	if err != nil {
		return nil, err
	}
	t, to, err := toldByLink(ctx, tx, hash) // as it stands now that the hike is held
	if err != nil {
		return nil, err
	}
	was := to.Place.State
	answer(t, &to.Place)
	if to.Place.State == was {
		return nil, nil
	}
	if err := updateSignUp(ctx, tx, to.Place); err != nil {
		return nil, err
	}
	return serve(ctx, tx, h, now, to.Place.ID)
}

// StandAt names who stands at the trailhead for the latest telling of the hike.
func (db *DB) StandAt(ctx context.Context, id hike.HikeID, name string) error {
	tag, err := db.pool.Exec(ctx, `
		UPDATE tellings SET stands = $2
		WHERE id = (SELECT max(id) FROM tellings WHERE hike_id = $1)`, id, name)
	return found(oneRow(tag, err), "name who stands at the trailhead of hike %d", id)
}
