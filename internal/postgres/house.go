package postgres

import (
	"context"
	"encoding/json"
	"errors"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"saltbush/internal/hike"
)

// House returns what the organisation says of itself and its rules; until it has said
// anything, only the default rules.
func (db *DB) House(ctx context.Context) (hike.House, error) {
	h, err := loadHouse(ctx, db.pool, "")
	return h, found(err, "load house")
}

func loadHouse(ctx context.Context, q querier, lock string) (hike.House, error) {
	var h hike.House
	var rules []byte
	err := q.QueryRow(ctx, `
		SELECT
			organisation,
			emergency,
			zone,
			rules
		FROM house `+lock).Scan(&h.Organisation, &h.Emergency, &h.Zone, &rules)
	if errors.Is(err, pgx.ErrNoRows) {
		return hike.House{Rules: hike.DefaultRules()}, nil
	}
	if err != nil {
		return h, err
	}
	h.Rules, err = hike.ReadRules(rules)
	return h, err
}

// SaveHouse replaces what the organisation says of itself, its rules included. No history
// is kept: this is how a house begins.
func (db *DB) SaveHouse(ctx context.Context, h hike.House) error {
	return found(saveHouse(ctx, db.pool, h), "save house")
}

func saveHouse(ctx context.Context, q interface {
	Exec(context.Context, string, ...any) (pgconn.CommandTag, error)
}, h hike.House) error {
	rules, err := json.Marshal(h.Rules.Own())
	if err != nil {
		return err
	}
	_, err = q.Exec(ctx, `
		INSERT INTO house (organisation, emergency, zone, rules)
		VALUES ($1, $2, $3, $4)
		ON CONFLICT (one) DO UPDATE SET organisation = $1, emergency = $2, zone = $3, rules = $4`,
		h.Organisation, h.Emergency, h.Zone, rules)
	return err
}

// ChangeHouse applies change with the house locked, saves the result, and keeps the changes
// that it returns.
func (db *DB) ChangeHouse(ctx context.Context, change func(*hike.House) ([]hike.HouseChange, error)) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHouse(ctx, tx, "FOR UPDATE")
		if err != nil {
			return err
		}
		changes, err := change(&h)
		if err != nil {
			return err
		}
		if err := saveHouse(ctx, tx, h); err != nil {
			return err
		}
		return keepChanges(ctx, tx, changes)
	})
	return found(err, "change house")
}

func keepChanges(ctx context.Context, tx pgx.Tx, changes []hike.HouseChange) error {
	batch := &pgx.Batch{}
	for _, c := range changes {
		batch.Queue(`
			INSERT INTO house_changes (at, by_whom, rule, was, now, toward_risk, reason)
			VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			c.At, c.By, c.Rule, c.From, c.To, c.TowardRisk, c.Reason)
	}
	return tx.SendBatch(ctx, batch).Close()
}

// HouseChanges lists what was changed, the newest first.
func (db *DB) HouseChanges(ctx context.Context, n int) ([]hike.HouseChange, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			rule,
			was,
			now,
			toward_risk,
			reason,
			by_whom,
			at
		FROM house_changes
		ORDER BY id DESC
		LIMIT $1`, n)
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (c hike.HouseChange, err error) {
		err = row.Scan(&c.Rule, &c.From, &c.To, &c.TowardRisk, &c.Reason, &c.By, &c.At)
		return c, err
	})
	return list, found(err, "list changes of the house")
}
