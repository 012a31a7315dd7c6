package postgres

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// Told is what carrying out a step leaves behind: lines of the log, messages on their
// way, and the private links in them.
type Told struct {
	Lines []watch.Logged
	Mails []message.Mail
	Links []account.Link
}

// ArmWatches loads every watch that may be running and arms its steps.
func (db *DB) ArmWatches(ctx context.Context, now time.Time) error {
	cases, err := watch.NewStanding(db, nil).Cases(ctx, now)
	if err != nil {
		return err
	}
	return db.Arm(ctx, cases.List, now)
}

// Arm stores which steps of the watches are to be looked at when. Steps that have fired
// stay fired, unless their time has moved to later than that. Cases are all watches that
// may be running: the steps of any other end.
func (db *DB) Arm(ctx context.Context, cases []watch.Case, now time.Time) error {
	var a armedRows
	for _, c := range cases {
		for _, step := range armed(c, now) {
			a.add(c.Hike.ID, step)
		}
	}
	if err := db.arm(ctx, a); err != nil {
		return found(err, "arm watches")
	}
	// What is no longer armed ends; should it be needed again, the next pass arms it.
	_, err := db.pool.Exec(ctx, `
		UPDATE watch_rungs SET state = 'ended'
		WHERE (hike_id, step) IN (
			SELECT w.hike_id, w.step
			FROM watch_rungs w
			LEFT JOIN unnest($1::bigint[], $2::text[]) AS a (hike_id, step) USING (hike_id, step)
			WHERE w.state = 'waiting' AND a.hike_id IS NULL
			ORDER BY w.hike_id, w.step
			FOR UPDATE OF w SKIP LOCKED
		)`, a.hikes, a.steps)
	return found(err, "end steps of watches")
}

// armedRows are steps to be armed, a column each.
type armedRows struct {
	hikes         []int64
	steps         []string
	planned, look []time.Time
}

func (a *armedRows) add(id hike.HikeID, s watch.Armed) {
	a.hikes, a.steps = append(a.hikes, int64(id)), append(a.steps, string(s.Step))
	a.planned, a.look = append(a.planned, s.At), append(a.look, s.Look)
}

// toArm holds where a step n is to be armed that stands in the table as w. A card's time
// is that of the report it holds, and each report gets one.
const toArm = `(
	w.state = 'ended'
	OR w.state = 'waiting' AND (w.planned <> n.planned OR w.look <> n.look)
	OR w.state = 'fired' AND n.planned > w.planned AND (n.step = 'card' OR n.planned > w.fired)
)`

// arm writes in one order for all instances, so that none waits for another in a circle,
// and only what differs from what is there.
func (db *DB) arm(ctx context.Context, a armedRows) error {
	_, err := db.pool.Exec(ctx, `
		INSERT INTO watch_rungs AS w (hike_id, step, planned, look)
		SELECT n.hike_id, n.step, n.planned, n.look
		FROM unnest($1::bigint[], $2::text[], $3::timestamptz[], $4::timestamptz[]) AS n (hike_id, step, planned, look)
		LEFT JOIN watch_rungs w USING (hike_id, step)
		WHERE w.hike_id IS NULL OR `+toArm+`
		ORDER BY n.hike_id, n.step
		ON CONFLICT (hike_id, step) DO UPDATE SET
			planned = excluded.planned,
			look = excluded.look,
			round = w.round + CASE WHEN w.state = 'fired' THEN 1 ELSE 0 END,
			state = 'waiting'
		WHERE `+strings.ReplaceAll(toArm, "n.", "excluded."), a.hikes, a.steps, a.planned, a.look)
	return err
}

// armed lists the steps of a case. Before the start no clock runs.
func armed(c watch.Case, now time.Time) []watch.Armed {
	if c.State.Departed.IsZero() && now.Before(c.Hike.Start) {
		return nil
	}
	return c.Armed(now)
}

// FireNext carries out the step that is due first, in one transaction: nobody else does
// the same step meanwhile, and a program that is killed has done all of it or nothing. It
// reports whether there was one.
func (db *DB) FireNext(ctx context.Context, now time.Time, tell func(watch.Firing) (Told, error)) (worked bool, err error) {
	var id hike.HikeID
	var step watch.Step
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		var round int
		err := tx.QueryRow(ctx, `
			SELECT
				hike_id,
				step,
				round
			FROM watch_rungs
			WHERE state = 'waiting' AND look <= $1
			ORDER BY look, hike_id, step
			LIMIT 1
			FOR UPDATE SKIP LOCKED`, now).Scan(&id, &step, &round)
		if errors.Is(err, pgx.ErrNoRows) {
			return nil
		}
		if err != nil {
			return err
		}
		worked = true
		return db.carryOut(ctx, tx, id, step, round, now, tell)
	})
	if err == nil || !worked {
		return worked, found(err, "look for the next step of a watch")
	}
	return true, errors.Join(found(err, "step %s of the watch of hike %d", step, id), db.postpone(ctx, id, step, err, now))
}

// House judgement: a step that could not be carried out is tried again soon, and lets the
// others go first.
const tryStepAgain = 10 * time.Second

func (db *DB) postpone(ctx context.Context, id hike.HikeID, step watch.Step, why error, now time.Time) error {
	_, err := db.pool.Exec(ctx, `
		UPDATE watch_rungs SET look = $3, trouble = $4
		WHERE hike_id = $1 AND step = $2 AND state = 'waiting'`, id, step, now.Add(tryStepAgain), why.Error())
	return err
}

// carryOut asks the roll as it stands what is to be done about a step, and does it.
func (db *DB) carryOut(ctx context.Context, tx pgx.Tx, id hike.HikeID, step watch.Step, round int, now time.Time, tell func(watch.Firing) (Told, error)) error {
	c, err := db.loadCase(ctx, tx, id)
	if err != nil {
		return err
	}
	r, action := c.Decide(step, now)
	switch action {
	case watch.Wait:
		_, err = tx.Exec(ctx, `UPDATE watch_rungs SET planned = $3, look = $3 WHERE hike_id = $1 AND step = $2`, id, step, r.At)
		return err
	case watch.End:
		_, err = tx.Exec(ctx, `UPDATE watch_rungs SET state = 'ended' WHERE hike_id = $1 AND step = $2`, id, step)
		return err
	}
	told, err := tell(watch.Firing{Case: c, Rung: r, Round: round, Now: now, LateBy: max(0, now.Sub(r.At))})
	if err != nil {
		return err
	}
	batch, err := toldBatch(now, told)
	if err != nil {
		return err
	}
	batch.Queue(`
		UPDATE watch_rungs SET state = 'fired', planned = $3, fired = $4, trouble = ''
		WHERE hike_id = $1 AND step = $2`, id, step, r.At, now)
	return tx.SendBatch(ctx, batch).Close()
}

// toldBatch stores what carrying out a step leaves behind.
func toldBatch(now time.Time, t Told) (*pgx.Batch, error) {
	batch, err := queueBatch(now, t.Mails)
	if err != nil {
		return nil, err
	}
	for _, l := range t.Lines {
		queueLine(batch, l)
	}
	for _, l := range t.Links {
		batch.Queue(`INSERT INTO links (hash, purpose, subject, expires) VALUES ($1, $2, $3, $4)`, l.Hash[:], l.Purpose, l.Subject, l.Expires)
	}
	return batch, nil
}

// loadCase loads one watch with its hike held, so that its roll cannot change until the
// transaction ends.
func (db *DB) loadCase(ctx context.Context, tx pgx.Tx, id hike.HikeID) (watch.Case, error) {
	var w roll.Watched
	var err error
	if w.Record, err = loadRecord(ctx, tx, id, "FOR SHARE OF h"); err != nil {
		return watch.Case{}, err
	}
	var planID int64
	err = tx.QueryRow(ctx, `
		SELECT
			t.name,
			coalesce((SELECT max(id) FROM plans WHERE hike_id = $1), 0)
		FROM trails t
		WHERE t.id = $2`, id, w.Hike.Trail).Scan(&w.Trail, &planID)
	if err != nil {
		return watch.Case{}, err
	}
	plans, err := db.plansByID(ctx, tx, []int64{planID})
	if err != nil {
		return watch.Case{}, err
	}
	w.Plan = plans[planID]
	logs, err := watchLogs(ctx, tx, []hike.HikeID{id})
	return watch.CaseOf(w, logs[id]), err
}
