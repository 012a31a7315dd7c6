package postgres

import (
	"context"
	"sync"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
)

// SavePlan keeps a plan beside those before it.
func (db *DB) SavePlan(ctx context.Context, p hike.StoredPlan) error {
	_, err := db.savePlan(ctx, p)
	return wrapErr(err, "save plan of hike %d", p.Hike)
}

func (db *DB) savePlan(ctx context.Context, p hike.StoredPlan) (id int64, err error) {
	row := args{
		"hike_id": p.Hike, "made": p.Made, "made_by": p.By, "model": p.Plan.Model, "inputs": p.Inputs,
		"result": p.Plan,
	}
	return value[int64](ctx, db, insertSQL("plans", row)+` RETURNING id`, row)
}

// LatestPlan returns the newest plan of a hike.
func (db *DB) LatestPlan(ctx context.Context, id hike.HikeID) (hike.StoredPlan, error) {
	p, err := one[hike.StoredPlan](ctx, db, `
		SELECT
			id,
			hike_id AS hike,
			made,
			made_by AS by,
			inputs,
			result AS plan
		FROM plans
		WHERE hike_id = @id
		ORDER BY id DESC
		LIMIT 1`, args{"id": id})
	p.Hike = id
	return p, wrapErr(err, "load plan of hike %d", id)
}

// House judgement: plans of this many hikes are kept unpacked. A plan is never changed, so
// a kept one is never wrong.
const plansKept = 2000

// keptPlans are plans that have been read, by their numbers. Nobody writes to them.
type keptPlans struct {
	mu   sync.Mutex
	byID map[int64]*plan.Plan
}

// planRow is a plan by its number.
type planRow struct {
	ID     int64
	Result *plan.Plan
}

// plansByID returns plans by their numbers, and reads only those that are not kept.
func (db *DB) plansByID(ctx context.Context, ids []int64) (map[int64]*plan.Plan, error) {
	out, unread := db.plans.known(ids)
	if len(unread) == 0 {
		return out, nil
	}
	rows, err := many[planRow](ctx, db, `SELECT id, result FROM plans WHERE id = ANY(@ids)`, args{"ids": unread})
	for _, r := range rows {
		out[r.ID] = r.Result
	}
	if err == nil {
		db.plans.keep(out)
	}
	return out, err
}

// known returns the plans that are kept, and the numbers of the others; 0 is no plan.
func (k *keptPlans) known(ids []int64) (out map[int64]*plan.Plan, unread []int64) {
	k.mu.Lock()
	defer k.mu.Unlock()
	out = map[int64]*plan.Plan{}
	for _, id := range ids {
		if p := k.byID[id]; p != nil {
			out[id] = p
		} else if id != 0 {
			unread = append(unread, id)
		}
	}
	return out, unread
}

func (k *keptPlans) keep(all map[int64]*plan.Plan) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.byID == nil || len(k.byID) > plansKept {
		k.byID = map[int64]*plan.Plan{}
	}
	for id, p := range all {
		k.byID[id] = p
	}
}
