package postgres

import (
	"context"
	"fmt"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/internal/rules"
)

// HoldHike stops all deletions of a hike. If a hold is in force already it stays as it is.
func (db *DB) HoldHike(ctx context.Context, id ref.Hike, because, by string, now time.Time) error {
	if err := retention.CheckHold(because); err != nil {
		return err
	}
	err := db.inTx(ctx, func(ctx context.Context) error { return db.hold(ctx, id, because, by, now) })
	return wrapErr(err, "hold hike %d", id)
}

// hold locks the hike, so that either it waits for a deletion to finish, or the deletion sees
// it.
func (db *DB) hold(ctx context.Context, id ref.Hike, because, by string, now time.Time) error {
	h, err := db.loadHike(ctx, id, forUpdate)
	if err != nil {
		return err
	}
	row := args{"hike_id": id, "because": because, "by_whom": by, "since": now}
	n, err := db.count(ctx, insertSQL("legal_holds", row)+` ON CONFLICT (hike_id) WHERE lifted IS NULL DO NOTHING`, row)
	if err != nil || n == 0 {
		return err
	}
	return db.Note(ctx, retention.LogEntry{At: now, By: by, What: "hold set", About: h.Title, Note: because})
}

// LiftHold lifts a hold and stores the reason. Without a hold it returns a Refusal.
func (db *DB) LiftHold(ctx context.Context, id ref.Hike, because, by string, now time.Time) error {
	if err := retention.CheckLift(because); err != nil {
		return err
	}
	err := db.inTx(ctx, func(ctx context.Context) error {
		h, err := db.loadHike(ctx, id, forUpdate)
		if err != nil {
			return err
		}
		n, err := db.count(ctx, `
			UPDATE legal_holds SET lifted = @now, lifted_by = @by, lifted_because = @because
			WHERE hike_id = @hike AND lifted IS NULL`, args{"hike": id, "now": now, "by": by, "because": because})
		if err == nil && n == 0 {
			err = fault.Refusal("No hold stands on this hike.")
		}
		if err != nil {
			return err
		}
		return db.Note(ctx, retention.LogEntry{At: now, By: by, What: "hold lifted", About: h.Title, Note: because})
	})
	return wrapErr(err, "lift the hold of hike %d", id)
}

// Holds lists every hold, those in force first.
func (db *DB) Holds(ctx context.Context) ([]retention.Hold, error) {
	list, err := many[retention.Hold](ctx, db, `
		SELECT
			l.hike_id AS hike,
			h.title,
			l.because,
			l.by_whom AS by,
			l.since,
			l.lifted,
			l.lifted_by,
			l.lifted_because
		FROM legal_holds l
		JOIN hikes h ON h.id = l.hike_id
		ORDER BY l.lifted IS NOT NULL, l.since DESC`, nil)
	return list, wrapErr(err, "list holds")
}

func (db *DB) isHeld(ctx context.Context, id ref.Hike) (bool, error) {
	return value[bool](ctx, db, `
		SELECT EXISTS (SELECT FROM legal_holds WHERE hike_id = @hike AND lifted IS NULL)`, args{"hike": id})
}

// heldRow says whether a hike has or had a hold, and whether somebody called for help.
type heldRow struct {
	Had    bool
	Called bool
}

// holdIncident sets a hold on a closed hike with an incident, unless it has or had one: whoever
// lifted that knew why.
func (db *DB) holdIncident(ctx context.Context, id ref.Hike, now time.Time) error {
	r, err := one[heldRow](ctx, db, `
		SELECT
			EXISTS (SELECT FROM legal_holds WHERE hike_id = @hike) AS had,
			EXISTS (SELECT FROM watch_log WHERE hike_id = @hike AND step IN ('call', 'call-again')) AS called`,
		args{"hike": id})
	if err != nil || r.Had {
		return err
	}
	rec, err := db.loadRecord(ctx, id, unlocked)
	if err != nil {
		return err
	}
	words := rec.State().Incidents()
	if r.Called {
		words = append(words, "a call for help went out")
	}
	if len(words) == 0 {
		return nil
	}
	return db.hold(ctx, id, "On this hike "+strings.Join(words, ", ")+".", retention.HoldMaker, now)
}

// holdIncidents does the same for every hike that was closed before there were automatic holds.
func (db *DB) holdIncidents(ctx context.Context, now time.Time) error {
	ids, err := values[ref.Hike](ctx, db, `
		SELECT id FROM hikes h
		WHERE state = 'closed'
			AND NOT EXISTS (SELECT FROM legal_holds l WHERE l.hike_id = h.id)
			AND NOT EXISTS (SELECT FROM deletions r WHERE r.hike_id = h.id)
		ORDER BY id`, nil)
	for _, id := range ids {
		if err == nil {
			err = db.holdIncident(ctx, id, now)
		}
	}
	if err != nil {
		return fmt.Errorf("hold the hikes on which something happened: %w", err)
	}
	return nil
}

// Cases lists the hikes whose day is over and whose data is not all deleted.
func (db *DB) Cases(ctx context.Context, now time.Time, rules rules.Rules) ([]retention.Case, error) {
	list, err := db.listCases(ctx, rules)
	if err != nil {
		return nil, wrapErr(err, "list what is kept")
	}
	over := list[:0]
	for _, r := range list {
		if r.Meet.Before(now) {
			over = append(over, r)
		}
	}
	return over, nil
}

// caseRow is a hike whose data is not all deleted.
type caseRow struct {
	Hike       ref.Hike
	Title      string
	State      hike.State
	Meet       time.Time
	Start      time.Time
	Closed     time.Time
	Gone       map[retention.DataClass]time.Time
	Hold       *retention.Hold
	Waivers    int
	NextWaiver time.Time
}

func (r caseRow) toCase(rules rules.Rules) retention.Case {
	h := retention.Case{
		Hike:       r.Hike,
		Title:      r.Title,
		State:      r.State,
		Meet:       r.Meet,
		Closed:     r.Closed,
		Hold:       r.Hold,
		Waivers:    r.Waivers,
		NextWaiver: r.NextWaiver,
	}
	h.Schedule(rules, r.Start, r.Gone)
	return h
}

// listCases lists every hike with names or waivers on file, or a hold in force. The times of a
// hike that was called off count from its meeting time.
func (db *DB) listCases(ctx context.Context, rules rules.Rules) ([]retention.Case, error) {
	rows, err := many[caseRow](ctx, db, `
		SELECT
			h.id AS hike,
			h.title,
			h.state,
			h.meet,
			h.start,
			CASE h.state WHEN 'closed' THEN coalesce(h.closed, h.start) WHEN 'called off' THEN h.meet END AS closed,
			(SELECT coalesce(jsonb_object_agg(r.kind, r.at), '{}')
				FROM deletions r
				WHERE r.hike_id = h.id AND r.kind NOT IN ('waivers', 'own data')) AS gone,
			CASE WHEN l.id IS NOT NULL THEN json_build_object(
				'Hike', h.id,
				'Title', h.title,
				'Because', l.because,
				'By', l.by_whom,
				'Since', l.since
			) END AS hold,
			(SELECT count(*) FROM waivers w WHERE w.hike_id = h.id) AS waivers,
			(SELECT min(expires) FROM waivers w WHERE w.hike_id = h.id) AS next_waiver
		FROM hikes h
		LEFT JOIN legal_holds l ON l.hike_id = h.id AND l.lifted IS NULL
		WHERE NOT EXISTS (SELECT FROM deletions r WHERE r.hike_id = h.id AND r.kind = 'names')
			OR EXISTS (SELECT FROM waivers w WHERE w.hike_id = h.id)
			OR l.id IS NOT NULL
		ORDER BY h.meet, h.id`, nil)
	list := make([]retention.Case, len(rows))
	for i, r := range rows {
		list[i] = r.toCase(rules)
	}
	return list, err
}

// Deletions lists the newest n deletions.
func (db *DB) Deletions(ctx context.Context, n int) ([]retention.Deletion, error) {
	list, err := many[retention.Deletion](ctx, db, `
		SELECT
			coalesce(r.hike_id, 0) AS hike,
			coalesce(h.title, '') AS title,
			r.kind,
			r.gone,
			r.at,
			r.by_whom AS by
		FROM deletions r
		LEFT JOIN hikes h ON h.id = r.hike_id
		WHERE r.gone > 0
		ORDER BY r.at DESC, r.id DESC
		LIMIT @n`, args{"n": n})
	return list, wrapErr(err, "list deletions")
}

// LastDeletionRun returns when the last daily run was.
func (db *DB) LastDeletionRun(ctx context.Context) (time.Time, error) {
	at, err := value[time.Time](ctx, db, `SELECT max(at) FROM deletion_runs`, nil)
	return at, wrapErr(err, "look for the last run")
}

// Note adds a line to the audit log.
func (db *DB) Note(ctx context.Context, a retention.LogEntry) error {
	return wrapErr(db.insert(ctx, "audit_log", args{
		"at": a.At, "by_whom": a.By, "what": a.What, "about": a.About, "note": a.Note,
	}), "note %q", a.What)
}

// Audit lists the newest n lines of all logs together.
func (db *DB) Audit(ctx context.Context, n int) ([]retention.LogEntry, error) {
	list, err := many[retention.LogEntry](ctx, db, `
		SELECT
			at,
			by_whom AS by,
			what,
			about,
			note
		FROM audit
		ORDER BY at DESC, what, about
		LIMIT @n`, args{"n": n})
	return list, wrapErr(err, "list the log")
}
