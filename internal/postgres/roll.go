package postgres

import (
	"context"
	"encoding/json"
	"fmt"
	"saltbush/internal/party"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
)

// Record loads the roll of one hike.
func (db *DB) Record(ctx context.Context, id ref.Hike) (roll.Record, error) {
	rec, err := db.loadRecord(ctx, id, unlocked)
	return rec, wrapErr(err, "load roll of hike %d", id)
}

func (db *DB) loadRecord(ctx context.Context, id ref.Hike, lock string) (roll.Record, error) {
	h, err := db.loadHike(ctx, id, lock)
	if err != nil {
		return roll.Record{}, err
	}
	places, err := db.SignUps(ctx, id)
	if err != nil {
		return roll.Record{}, err
	}
	events, err := db.loadEvents(ctx, []ref.Hike{id})
	if err != nil {
		return roll.Record{}, err
	}
	terms, err := db.loadTerms(ctx, h)
	return roll.Record{Hike: h, Roster: roll.RosterOf(h, places), Events: events[id], Terms: terms}, err
}

// termsRow is what the trail and the newest plan say about a departure.
type termsRow struct {
	PermitCap   int
	PermitStaff bool
	Plan        *plan.Plan
}

// loadTerms reads what a departure is judged by besides the roll.
func (db *DB) loadTerms(ctx context.Context, h hike.Hike) (party.Terms, error) {
	r, err := one[termsRow](ctx, db, `
		SELECT
			permit_cap,
			permit_staff,
			(SELECT result FROM plans WHERE hike_id = @hike ORDER BY id DESC LIMIT 1) AS plan
		FROM trails
		WHERE id = @trail`, args{"hike": h.ID, "trail": h.Trail})
	return roll.TermsOf(r.PermitCap, r.PermitStaff, r.Plan, h.Rules()), err
}

// eventRow is an event as stored. The time when the server received it has its own column.
type eventRow struct {
	HikeID   ref.Hike
	Body     party.Event
	Recorded time.Time
}

// loadEvents reads the events of several hikes in the order in which they were stored.
func (db *DB) loadEvents(ctx context.Context, ids []ref.Hike) (map[ref.Hike][]party.Event, error) {
	rows, err := many[eventRow](ctx, db, `
		SELECT
			hike_id,
			body,
			recorded
		FROM roll_events
		WHERE hike_id = ANY(@ids)
		ORDER BY seq`, args{"ids": ids})
	by := map[ref.Hike][]party.Event{}
	for _, r := range rows {
		r.Body.Recorded = r.Recorded
		by[r.HikeID] = append(by[r.HikeID], r.Body)
	}
	return by, err
}

// eventBody returns the JSON that is stored of an event.
func eventBody(e party.Event) ([]byte, error) {
	e.Recorded = time.Time{}
	body, err := json.Marshal(e)
	if err != nil {
		return nil, fmt.Errorf("event %s: %w", e.ID, err)
	}
	return body, nil
}

// rollChannel is the channel on which changes are announced; the payload is the hike.
const rollChannel = "saltbush_roll"

// Append stores the events that are not known yet and updates the state of the hike, in one
// transaction. Listeners are notified when it commits. The rules are asked while the hike is
// locked, so they see exactly the roll that the events are added to.
func (db *DB) Append(
	ctx context.Context, id ref.Hike, events []party.Event, now time.Time, rules ...roll.Rule,
) (rec roll.Record, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		h, err := db.loadHike(ctx, id, forUpdate)
		if err != nil {
			return err
		}
		if err := roll.Open(h); err != nil {
			return err
		}
		if len(rules) > 0 {
			before, err := db.loadRecord(ctx, id, unlocked)
			if err != nil {
				return err
			}
			if events, err = before.Keep(events, rules); err != nil {
				return err
			}
		}
		if err := db.insertEvents(ctx, id, events, now); err != nil {
			return err
		}
		if rec, err = db.loadRecord(ctx, id, unlocked); err != nil {
			return err
		}
		if rec.Move() {
			err = db.saveHike(ctx, rec.Hike)
		}
		return err
	})
	if err == nil {
		db.touch(id)
	}
	return rec, wrapErr(err, "append to roll of hike %d", id)
}

// insertEvents skips events that are stored already, because a device may send them twice.
func (db *DB) insertEvents(ctx context.Context, id ref.Hike, events []party.Event, now time.Time) error {
	batch := &pgx.Batch{}
	for _, e := range events {
		body, err := eventBody(e)
		if err != nil {
			return err
		}
		row := args{"id": e.ID, "hike_id": id, "at": e.At, "recorded": now, "body": body}
		batch.Queue(insertSQL("roll_events", row)+` ON CONFLICT (id) DO NOTHING`, row)
	}
	batch.Queue(`SELECT pg_notify(@channel, @hike)`,
		args{"channel": rollChannel, "hike": strconv.FormatInt(int64(id), 10)})
	return db.send(ctx, batch)
}

// rewriteRoll is the one exception to the rule that events are never changed: when their time
// to keep is over, retention removes names, contacts and plates from them. Their order and
// times stay, and so do all counts.
func (db *DB) rewriteRoll(ctx context.Context, id ref.Hike, without func([]party.Event) []party.Event) error {
	events, err := db.loadEvents(ctx, []ref.Hike{id})
	if err != nil {
		return err
	}
	batch := &pgx.Batch{}
	for _, e := range without(events[id]) {
		body, err := eventBody(e)
		if err != nil {
			return err
		}
		batch.Queue(`UPDATE roll_events SET body = @body WHERE id = @id`, args{"id": e.ID, "body": body})
	}
	return db.send(ctx, batch)
}

// maybeWatched is true for hikes that are out or back and not closed, and for those that should
// have left by now: they may have left without a report.
const maybeWatched = `(h.state IN ('out', 'back') OR (h.state = 'posted' AND h.meet < now()))`

// WatchedIDs lists the hikes that may have to be watched, the earliest start first.
func (db *DB) WatchedIDs(ctx context.Context) ([]ref.Hike, error) {
	ids, err := values[ref.Hike](ctx, db, `
		SELECT h.id FROM hikes h WHERE `+maybeWatched+` ORDER BY h.start, h.id`, nil)
	return ids, wrapErr(err, "list watched hikes")
}

// Watched loads the roll of every hike that may have to be watched, with its newest plan and
// the trail's name.
func (db *DB) Watched(ctx context.Context) ([]roll.Watched, error) {
	ids, err := db.WatchedIDs(ctx)
	if err != nil {
		return nil, err
	}
	return db.WatchedOf(ctx, ids)
}

// watchedRow is a hike with its trail's name and the ID of its newest plan, 0 for none.
type watchedRow struct {
	hikeRow
	TrailName string
	PlanID    int64
}

// WatchedOf loads those of the hikes that may have to be watched. The number of queries does
// not depend on the number of hikes.
func (db *DB) WatchedOf(ctx context.Context, ids []ref.Hike) ([]roll.Watched, error) {
	rows, err := many[watchedRow](ctx, db, `
		SELECT`+hikeColumns+`,
			(SELECT name FROM trails WHERE id = h.trail_id) AS trail_name,
			coalesce((SELECT max(id) FROM plans p WHERE p.hike_id = h.id), 0) AS plan_id
		FROM hikes h
		WHERE h.id = ANY(@ids) AND `+maybeWatched+`
		ORDER BY h.start, h.id`, args{"ids": ids})
	if err != nil {
		return nil, wrapErr(err, "list watched hikes")
	}
	list, err := db.watched(ctx, rows)
	return list, wrapErr(err, "load watched hikes")
}

// watched loads the people, events and plans of the hikes.
func (db *DB) watched(ctx context.Context, rows []watchedRow) ([]roll.Watched, error) {
	ids, planIDs := make([]ref.Hike, len(rows)), make([]int64, len(rows))
	for i, r := range rows {
		ids[i], planIDs[i] = r.ID, r.PlanID
	}
	places, err := db.PlacesOf(ctx, ids)
	if err != nil {
		return nil, err
	}
	events, err := db.loadEvents(ctx, ids)
	if err != nil {
		return nil, err
	}
	plans, err := db.plansByID(ctx, planIDs)
	list := make([]roll.Watched, len(rows))
	for i, r := range rows {
		w := roll.Watched{Trail: r.TrailName, Plan: plans[r.PlanID]}
		if err == nil {
			w.Hike, err = r.hike()
		}
		w.Roster, w.Events = roll.RosterOf(w.Hike, places[r.ID]), events[r.ID]
		list[i] = w
	}
	return list, err
}
