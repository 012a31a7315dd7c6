package postgres

import (
	"context"
	"encoding/json"
	"fmt"

	"saltbush/internal/hike"
)

// SavePlan keeps a plan beside those before it.
func (db *DB) SavePlan(ctx context.Context, p hike.StoredPlan) error {
	_, err := savePlan(ctx, db.pool, p)
	return found(err, "save plan of hike %d", p.Hike)
}

func savePlan(ctx context.Context, q querier, p hike.StoredPlan) (id int64, err error) {
	inputs, err := json.Marshal(p.Inputs)
	if err != nil {
		return 0, fmt.Errorf("plan inputs: %w", err)
	}
	result, err := json.Marshal(p.Plan)
	if err != nil {
		return 0, fmt.Errorf("plan: %w", err)
	}
	err = q.QueryRow(ctx, `
		INSERT INTO plans (hike_id, made, made_by, model, inputs, result)
		VALUES ($1, $2, $3, $4, $5, $6)
		RETURNING id`,
		p.Hike, p.Made, p.By, p.Plan.Model, inputs, result).Scan(&id)
	return id, err
}

// LatestPlan returns the newest plan of a hike.
func (db *DB) LatestPlan(ctx context.Context, id hike.HikeID) (hike.StoredPlan, error) {
	p := hike.StoredPlan{Hike: id}
	var inputs, result []byte
	err := db.pool.QueryRow(ctx, `
		SELECT
			id,
			made,
			made_by,
			inputs,
			result
		FROM plans
		WHERE hike_id = $1
		ORDER BY id DESC
		LIMIT 1`, id).Scan(&p.ID, &p.Made, &p.By, &inputs, &result)
	if err != nil {
		return p, found(err, "load plan of hike %d", id)
	}
	if err := json.Unmarshal(inputs, &p.Inputs); err != nil {
		return p, fmt.Errorf("plan inputs of hike %d: %w", id, err)
	}
	if err := json.Unmarshal(result, &p.Plan); err != nil {
		return p, fmt.Errorf("plan of hike %d: %w", id, err)
	}
	return p, nil
}
