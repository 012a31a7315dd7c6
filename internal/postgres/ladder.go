package postgres

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/plan"
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

// ArmWatches looks at every watch that may be running and stores which of its steps are to
// be looked at when. Steps that have fired stay fired, unless their time has moved to
// later than that.
func (db *DB) ArmWatches(ctx context.Context, now time.Time) error {
	list, err := db.Watched(ctx)
	if err != nil {
		return err
	}
	ids := make([]hike.HikeID, len(list))
	for i, w := range list {
		ids[i] = w.Hike.ID
	}
	logs, err := db.WatchLogs(ctx, ids)
	if err != nil {
		return err
	}
	batch := &pgx.Batch{}
	var hikes []int64
	var steps []string
	for _, w := range list {
		for _, a := range armed(watch.CaseOf(w, logs[w.Hike.ID]), now) {
			queueRung(batch, w.Hike.ID, a)
			hikes, steps = append(hikes, int64(w.Hike.ID)), append(steps, string(a.Step))
		}
	}
	// What is no longer armed ends; should it be needed again, the next pass arms it.
	batch.Queue(`
		UPDATE watch_rungs SET state = 'ended'
		WHERE state = 'waiting' AND NOT EXISTS (
			SELECT 1 FROM unnest($1::bigint[], $2::text[]) AS a (hike, step) WHERE a.hike = hike_id AND a.step = watch_rungs.step
		)`, hikes, steps)
	return found(db.pool.SendBatch(ctx, batch).Close(), "arm watches")
}

// armed lists the steps of a case in one order for all instances, so that none waits for
// another in a circle. Before the start no clock runs.
func armed(c watch.Case, now time.Time) []watch.Armed {
	if c.State.Departed.IsZero() && now.Before(c.Hike.Start) {
		return nil
	}
	list := c.Armed(now)
	slices.SortFunc(list, func(a, b watch.Armed) int {
		if a.Step < b.Step {
			return -1
		}
		return 1
	})
	return list
}

func queueRung(batch *pgx.Batch, id hike.HikeID, a watch.Armed) {
	batch.Queue(`
		INSERT INTO watch_rungs (hike_id, step, planned, look)
		VALUES ($1, $2, $3, $4)
		ON CONFLICT (hike_id, step) DO UPDATE SET
			planned = excluded.planned,
			look = excluded.look,
			round = watch_rungs.round + CASE WHEN watch_rungs.state = 'fired' THEN 1 ELSE 0 END,
			state = 'waiting'
		WHERE
			watch_rungs.state = 'ended'
			OR watch_rungs.state = 'waiting' AND (watch_rungs.planned <> excluded.planned OR watch_rungs.look <> excluded.look)
			OR watch_rungs.state = 'fired' AND excluded.planned > watch_rungs.planned AND ($5 OR excluded.planned > watch_rungs.fired)`,
		id, a.Step, a.At, a.Look, a.Step == watch.StepCard) // a card's time is that of the report it holds, and each report gets one
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
		return carryOut(ctx, tx, id, step, round, now, tell)
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
func carryOut(ctx context.Context, tx pgx.Tx, id hike.HikeID, step watch.Step, round int, now time.Time, tell func(watch.Firing) (Told, error)) error {
	c, err := loadCase(ctx, tx, id)
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
	announce(batch, id)
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
func loadCase(ctx context.Context, tx pgx.Tx, id hike.HikeID) (watch.Case, error) {
	var w roll.Watched
	var err error
	if w.Record, err = loadRecord(ctx, tx, id, "FOR SHARE OF h"); err != nil {
		return watch.Case{}, err
	}
	var result []byte
	err = tx.QueryRow(ctx, `
		SELECT
			t.name,
			(SELECT result FROM plans WHERE hike_id = $1 ORDER BY id DESC LIMIT 1)
		FROM trails t
		WHERE t.id = $2`, id, w.Hike.Trail).Scan(&w.Trail, &result)
	if err != nil {
		return watch.Case{}, err
	}
	if result != nil {
		w.Plan = new(plan.Plan)
		if err := json.Unmarshal(result, w.Plan); err != nil {
			return watch.Case{}, fmt.Errorf("plan: %w", err)
		}
	}
	logs, err := watchLogs(ctx, tx, []hike.HikeID{id})
	return watch.CaseOf(w, logs[id]), err
}
