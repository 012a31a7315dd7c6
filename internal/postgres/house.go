package postgres

import (
	"context"
	"errors"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/rules"
)

// houseRow is the organization's settings as stored.
type houseRow struct {
	Organisation string
	Emergency    string
	Zone         string
	Rules        []byte
}

// House returns the organization's settings. Before they were saved it has only the default
// rules.
func (db *DB) House(ctx context.Context) (rules.House, error) {
	h, err := db.loadHouse(ctx, "")
	return h, wrapErr(err, "load house")
}

func (db *DB) loadHouse(ctx context.Context, lock string) (rules.House, error) {
	r, err := one[houseRow](ctx, db, `
		SELECT
			organisation,
			emergency,
			zone,
			rules
		FROM house `+lock, nil)
	if errors.Is(err, pgx.ErrNoRows) {
		return rules.House{Rules: rules.DefaultRules()}, nil
	}
	if err != nil {
		return rules.House{}, err
	}
	rulesHere, err := rules.ReadRules(r.Rules)
	return rules.House{Organisation: r.Organisation, Emergency: r.Emergency, Zone: r.Zone, Rules: rulesHere}, err
}

// SaveHouse replaces the organization's settings. It writes no log, so it is only for the first
// ones.
func (db *DB) SaveHouse(ctx context.Context, h rules.House) error {
	return wrapErr(db.upsert(ctx, "house", "one", args{
		"one": true, "organisation": h.Organisation, "emergency": h.Emergency, "zone": h.Zone,
		"rules": h.Rules.Own(),
	}), "save house")
}

// ChangeHouse locks the settings, applies change, saves the result, and stores the log entries
// that change returns.
func (db *DB) ChangeHouse(ctx context.Context, change func(*rules.House) ([]rules.HouseChange, error)) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		h, err := db.loadHouse(ctx, "FOR UPDATE")
		if err != nil {
			return err
		}
		changes, err := change(&h)
		if err != nil {
			return err
		}
		if err := db.SaveHouse(ctx, h); err != nil {
			return err
		}
		return db.saveHouseChanges(ctx, changes)
	})
	return wrapErr(err, "change house")
}

func (db *DB) saveHouseChanges(ctx context.Context, changes []rules.HouseChange) error {
	batch := &pgx.Batch{}
	for _, c := range changes {
		row := args{
			"at": c.At, "by_whom": c.By, "rule": c.Rule, "was": c.From, "now": c.To,
			"toward_risk": c.TowardRisk, "reason": c.Reason,
		}
		batch.Queue(insertSQL("house_changes", row), row)
	}
	return db.send(ctx, batch)
}

// HouseChanges lists the newest n log entries.
func (db *DB) HouseChanges(ctx context.Context, n int) ([]rules.HouseChange, error) {
	list, err := many[rules.HouseChange](ctx, db, `
		SELECT
			rule,
			was AS from,
			now AS to,
			toward_risk,
			reason,
			by_whom AS by,
			at
		FROM house_changes
		ORDER BY id DESC
		LIMIT @n`, args{"n": n})
	return list, wrapErr(err, "list changes of the house")
}
