package postgres

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/roll"
)

// maybeWatched are the hikes that are out or back and not closed, and those that should
// have left by now and have not reported: no report is not the same as not gone.
const maybeWatched = `(h.state IN ('out', 'back') OR (h.state = 'posted' AND h.meet < now()))`

// WatchedIDs lists the hikes whose watch may be running, the earliest start first.
func (db *DB) WatchedIDs(ctx context.Context) ([]hike.HikeID, error) {
	rows, _ := db.pool.Query(ctx, `SELECT h.id FROM hikes h WHERE `+maybeWatched+` ORDER BY h.start, h.id`)
	ids, err := pgx.CollectRows(rows, pgx.RowTo[hike.HikeID])
	return ids, found(err, "list watched hikes")
}

// Watched loads the roll of every hike whose watch may be running, with its newest plan
// and the trail's name.
func (db *DB) Watched(ctx context.Context) ([]roll.Watched, error) {
	ids, err := db.WatchedIDs(ctx)
	if err != nil {
		return nil, err
	}
	return db.WatchedOf(ctx, ids)
}

// WatchedOf loads those of the hikes whose watch may be running, in as many queries
// however many there are.
func (db *DB) WatchedOf(ctx context.Context, ids []hike.HikeID) ([]roll.Watched, error) {
	list, plans, err := db.watchedHikes(ctx, ids)
	if err == nil {
		err = db.planned(ctx, list, plans)
	}
	if err != nil {
		return nil, found(err, "list watched hikes")
	}
	ids = ids[:0:0]
	index := map[hike.HikeID]*roll.Watched{}
	for i := range list {
		ids = append(ids, list[i].Hike.ID)
		index[list[i].Hike.ID] = &list[i]
	}
	places, err := db.placesByHike(ctx, ids)
	if err != nil {
		return nil, found(err, "list people of watched hikes")
	}
	for id, w := range index {
		w.Roster = roll.RosterOf(w.Hike, places[id])
	}
	return list, found(db.eventsByHike(ctx, ids, index), "list events of watched hikes")
}

// watchedHikes also returns the number of each hike's newest plan, 0 for none.
func (db *DB) watchedHikes(ctx context.Context, ids []hike.HikeID) (list []roll.Watched, plans []int64, err error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT`+hikeColumns+`,
			(SELECT name FROM trails WHERE id = h.trail_id),
			coalesce((SELECT max(id) FROM plans p WHERE p.hike_id = h.id), 0)
		FROM hikes h
		WHERE h.id = ANY($1) AND `+maybeWatched+`
		ORDER BY h.start, h.id`, ids)
	list, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (w roll.Watched, err error) {
		var s hikeScan
		var planID int64
		if err = row.Scan(append(s.targets(), &w.Trail, &planID)...); err != nil {
			return w, err
		}
		plans = append(plans, planID)
		w.Hike, err = s.hike()
		return w, err
	})
	return list, plans, err
}

// planned gives each hike its plan.
func (db *DB) planned(ctx context.Context, list []roll.Watched, plans []int64) error {
	known, err := db.plansByID(ctx, db.pool, plans)
	for i, id := range plans {
		list[i].Plan = known[id]
	}
	return err
}

// House judgement: plans of this many hikes are kept unpacked. A plan is never changed, so
// a kept one is never wrong.
const plansKept = 2000

// keptPlans are plans that have been read, by their numbers. Nobody writes to them.
type keptPlans struct {
	mu   sync.Mutex
	byID map[int64]*plan.Plan
}

// plansByID returns plans by their numbers, and reads only those that are not kept.
func (db *DB) plansByID(ctx context.Context, q querier, ids []int64) (map[int64]*plan.Plan, error) {
	out, unread := map[int64]*plan.Plan{}, []int64{}
	db.plans.mu.Lock()
	for _, id := range ids {
		if p := db.plans.byID[id]; p != nil {
			out[id] = p
		} else if id != 0 {
			unread = append(unread, id)
		}
	}
	db.plans.mu.Unlock()
	if len(unread) == 0 {
		return out, nil
	}
	rows, _ := q.Query(ctx, `SELECT id, result FROM plans WHERE id = ANY($1)`, unread)
	var id int64
	var result []byte
	_, err := pgx.ForEachRow(rows, []any{&id, &result}, func() error {
		out[id] = new(plan.Plan)
		if err := json.Unmarshal(result, out[id]); err != nil {
			return fmt.Errorf("plan %d: %w", id, err)
		}
		return nil
	})
	if err == nil {
		db.keepPlans(out)
	}
	return out, err
}

func (db *DB) keepPlans(all map[int64]*plan.Plan) {
	db.plans.mu.Lock()
	defer db.plans.mu.Unlock()
	if db.plans.byID == nil || len(db.plans.byID) > plansKept {
		db.plans.byID = map[int64]*plan.Plan{}
	}
	for id, p := range all {
		db.plans.byID[id] = p
	}
}
