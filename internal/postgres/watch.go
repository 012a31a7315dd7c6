package postgres

import (
	"context"
	"errors"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// Told is the result of a step: lines for the log, messages to send, and the private links in
// them.
type Told struct {
	Lines []watch.Logged
	Mails []message.Mail
	Links []account.Link
}

// ArmWatches loads every watch that may be running and schedules its steps.
func (db *DB) ArmWatches(ctx context.Context, now time.Time) error {
	cases, err := watch.NewCaseCache(db, nil).Cases(ctx, now)
	if err != nil {
		return err
	}
	return db.Arm(ctx, cases.List, now)
}

// Arm stores when each step of the watches is due. A step that has fired stays fired unless its
// time moved to later than that. Cases must be all watches that may be running: the steps of
// other watches end.
func (db *DB) Arm(ctx context.Context, cases []watch.Case, now time.Time) error {
	var a armedRows
	for _, c := range cases {
		for _, step := range armed(c, now) {
			a.add(c.Hike.ID, step)
		}
	}
	if err := db.arm(ctx, a); err != nil {
		return wrapErr(err, "arm watches")
	}
	// Steps that are no longer scheduled end. If one is needed again, the next pass schedules
	// it.
	err := db.exec(ctx, `
		UPDATE watch_rungs SET state = 'ended'
		WHERE (hike_id, step) IN (
			SELECT w.hike_id, w.step
			FROM watch_rungs w
			LEFT JOIN unnest(@hikes::bigint[], @steps::text[]) AS a (hike_id, step) USING (hike_id, step)
			WHERE w.state = 'waiting' AND a.hike_id IS NULL
			ORDER BY w.hike_id, w.step
			FOR UPDATE OF w SKIP LOCKED
		)`, args{"hikes": a.hikes, "steps": a.steps})
	return wrapErr(err, "end steps of watches")
}

// armedRows are steps to schedule, a column each.
type armedRows struct {
	hikes         []int64
	steps         []string
	planned, look []time.Time
}

func (a *armedRows) add(id ref.Hike, s watch.ScheduledStep) {
	a.hikes, a.steps = append(a.hikes, int64(id)), append(a.steps, string(s.Step))
	a.planned, a.look = append(a.planned, s.At), append(a.look, s.Look)
}

// toArm is true where the step n must be scheduled that is stored as w. The time of a watch
// card is that of the report in it, and each report gets one.
const toArm = `(
	w.state = 'ended'
	OR w.state = 'waiting' AND (w.planned <> n.planned OR w.look <> n.look)
	OR w.state = 'fired' AND n.planned > w.planned AND (n.step = 'card' OR n.planned > w.fired)
)`

// arm writes the steps in the same order in all instances, so that they do not deadlock, and
// only those that differ from what is stored.
func (db *DB) arm(ctx context.Context, a armedRows) error {
	return db.exec(ctx, `
		INSERT INTO watch_rungs AS w (hike_id, step, planned, look)
		SELECT n.hike_id, n.step, n.planned, n.look
		FROM unnest(@hikes::bigint[], @steps::text[], @planned::timestamptz[], @look::timestamptz[])
			AS n (hike_id, step, planned, look)
		LEFT JOIN watch_rungs w USING (hike_id, step)
		WHERE w.hike_id IS NULL OR `+toArm+`
		ORDER BY n.hike_id, n.step
		ON CONFLICT (hike_id, step) DO UPDATE SET
			planned = excluded.planned,
			look = excluded.look,
			round = w.round + CASE WHEN w.state = 'fired' THEN 1 ELSE 0 END,
			state = 'waiting'
		WHERE (SELECT `+toArm+` FROM (SELECT excluded.step, excluded.planned, excluded.look) AS n)`, args{
		"hikes": a.hikes, "steps": a.steps, "planned": a.planned, "look": a.look,
	})
}

// armed lists the steps of a case. There are none before the start, unless somebody is missing.
func armed(c watch.Case, now time.Time) []watch.ScheduledStep {
	running := slices.ContainsFunc(c.Alarms(), watch.Alarm.Running)
	if c.State.Departed.IsZero() && now.Before(c.Hike.Start) && !running {
		return nil
	}
	return c.Scheduled(now)
}

// dueRow is a step that is due.
type dueRow struct {
	HikeID ref.Hike
	Step   watch.Step
	Round  int
}

// FireNext carries out the step that is due first, in one transaction. Nobody else does the
// same step meanwhile, and a program that is killed has done all of it or nothing. It reports
// whether a step was due.
func (db *DB) FireNext(
	ctx context.Context, now time.Time, tell func(watch.Firing) (Told, error),
) (worked bool, err error) {
	var due dueRow
	err = db.inTx(ctx, func(ctx context.Context) error {
		due, err = one[dueRow](ctx, db, `
			SELECT
				hike_id,
				step,
				round
			FROM watch_rungs
			WHERE state = 'waiting' AND look <= @now
			ORDER BY look, hike_id, step
			LIMIT 1
			FOR UPDATE SKIP LOCKED`, args{"now": now})
		if errors.Is(err, pgx.ErrNoRows) {
			return nil
		}
		if err != nil {
			return err
		}
		worked = true
		return db.carryOut(ctx, due, now, tell)
	})
	if err == nil || !worked {
		return worked, wrapErr(err, "look for the next step of a watch")
	}
	failed := wrapErr(err, "step %s of the watch of hike %d", due.Step, due.HikeID)
	return true, errors.Join(failed, db.postpone(ctx, due, err, now))
}

// tryStepAgain is how long a step waits after it failed, so that others go first. Our judgment.
const tryStepAgain = 10 * time.Second

func (db *DB) postpone(ctx context.Context, due dueRow, why error, now time.Time) error {
	return db.exec(ctx, `
		UPDATE watch_rungs SET look = @look, trouble = @trouble
		WHERE hike_id = @hike AND step = @step AND state = 'waiting'`, args{
		"hike": due.HikeID, "step": due.Step, "look": now.Add(tryStepAgain), "trouble": why.Error(),
	})
}

// carryOut decides from the current roll what to do about a step, and does it.
func (db *DB) carryOut(
	ctx context.Context, due dueRow, now time.Time, tell func(watch.Firing) (Told, error),
) error {
	c, err := db.loadCase(ctx, due.HikeID)
	if err != nil {
		return err
	}
	r, action := c.Decide(due.Step, now)
	switch action {
	case watch.Wait:
		return db.exec(ctx, `UPDATE watch_rungs SET planned = @at, look = @at WHERE hike_id = @hike AND step = @step`,
			args{"hike": due.HikeID, "step": due.Step, "at": r.At})
	case watch.End:
		return db.exec(ctx, `UPDATE watch_rungs SET state = 'ended' WHERE hike_id = @hike AND step = @step`,
			args{"hike": due.HikeID, "step": due.Step})
	}
	late := max(0, now.Sub(r.At))
	told, err := tell(watch.Firing{Case: c, Rung: r, Round: due.Round, Now: now, LateBy: late})
	if err != nil {
		return err
	}
	batch := resultBatch(now, told)
	batch.Queue(`
		UPDATE watch_rungs SET state = 'fired', planned = @at, fired = @now, trouble = ''
		WHERE hike_id = @hike AND step = @step`,
		args{"hike": due.HikeID, "step": due.Step, "at": r.At, "now": now})
	return db.send(ctx, batch)
}

// resultBatch stores the result of a step.
func resultBatch(now time.Time, t Told) *pgx.Batch {
	batch := &pgx.Batch{}
	for _, m := range t.Mails {
		queueMail(batch, now, m)
	}
	for _, l := range t.Lines {
		queueLine(batch, l)
	}
	for _, l := range t.Links {
		batch.Queue(insertLinkSQL, linkArgs(l))
	}
	return batch
}

// namesRow is a trail's name and the ID of a hike's newest plan, 0 for none.
type namesRow struct {
	Trail  string
	PlanID int64
}

// loadCase loads one watch and locks its hike, so that the roll cannot change until the
// transaction ends.
func (db *DB) loadCase(ctx context.Context, id ref.Hike) (watch.Case, error) {
	rec, err := db.loadRecord(ctx, id, forShare)
	if err != nil {
		return watch.Case{}, err
	}
	r, err := one[namesRow](ctx, db, `
		SELECT
			t.name AS trail,
			coalesce((SELECT max(id) FROM plans WHERE hike_id = @hike), 0) AS plan_id
		FROM trails t
		WHERE t.id = @trail`, args{"hike": id, "trail": rec.Hike.Trail})
	if err != nil {
		return watch.Case{}, err
	}
	plans, err := db.plansByID(ctx, []int64{r.PlanID})
	if err != nil {
		return watch.Case{}, err
	}
	log, err := db.WatchLog(ctx, id)
	return watch.CaseOf(roll.Watched{Record: rec, Trail: r.Trail, Plan: plans[r.PlanID]}, log), err
}
