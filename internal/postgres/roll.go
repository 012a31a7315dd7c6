package postgres

import (
	"context"
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/roll"
)

// Record loads the roll of one hike.
func (db *DB) Record(ctx context.Context, id hike.HikeID) (roll.Record, error) {
	rec, err := loadRecord(ctx, db.pool, id, "")
	return rec, found(err, "load roll of hike %d", id)
}

func loadRecord(ctx context.Context, q querier, id hike.HikeID, lock string) (roll.Record, error) {
	h, err := loadHike(ctx, q, id, lock)
	if err != nil {
		return roll.Record{}, err
	}
	places, err := signUpsOf(ctx, q, id)
	if err != nil {
		return roll.Record{}, err
	}
	events, err := loadEvents(ctx, q, id)
	if err != nil {
		return roll.Record{}, err
	}
	terms, err := loadTerms(ctx, q, h)
	return roll.Record{Hike: h, Roster: roll.RosterOf(h, places), Events: events, Terms: terms}, err
}

// loadTerms reads what a departure is judged by beside the roll.
func loadTerms(ctx context.Context, q querier, h hike.Hike) (roll.Terms, error) {
	var permitCap int
	var permitStaff bool
	var result []byte
	err := q.QueryRow(ctx, `
		SELECT
			permit_cap,
			permit_staff,
			(SELECT result FROM plans WHERE hike_id = $2 ORDER BY id DESC LIMIT 1)
		FROM trails
		WHERE id = $1`, h.Trail, h.ID).Scan(&permitCap, &permitStaff, &result)
	if err != nil || result == nil {
		return roll.TermsOf(permitCap, permitStaff, nil, h.Rules()), err
	}
	var p plan.Plan
	if err := json.Unmarshal(result, &p); err != nil {
		return roll.Terms{}, fmt.Errorf("plan: %w", err)
	}
	return roll.TermsOf(permitCap, permitStaff, &p, h.Rules()), nil
}

func loadEvents(ctx context.Context, q querier, id hike.HikeID) ([]roll.Event, error) {
	rows, _ := q.Query(ctx, `
		SELECT
			body,
			recorded
		FROM roll_events
		WHERE hike_id = $1
		ORDER BY seq`, id)
	return pgx.CollectRows(rows, scanEvent)
}

func scanEvent(row pgx.CollectableRow) (e roll.Event, err error) {
	var body []byte
	var recorded time.Time
	if err = row.Scan(&body, &recorded); err != nil {
		return e, err
	}
	if err = json.Unmarshal(body, &e); err != nil {
		return e, fmt.Errorf("event: %w", err)
	}
	e.Recorded = recorded
	return e, nil
}

// rollChannel is where a change of any roll is announced; the payload is the hike.
const rollChannel = "saltbush_roll"

// Append stores the events that are not yet known and moves the hike's state along, in
// one transaction. Whoever listens is told when it is committed.
// The rules are asked while the hike's row is locked: what they see is what is kept on.
func (db *DB) Append(ctx context.Context, id hike.HikeID, events []roll.Event, now time.Time, rules ...roll.Rule) (rec roll.Record, err error) {
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHike(ctx, tx, id, "FOR UPDATE OF h")
		if err != nil {
			return err
		}
		if err := roll.Open(h); err != nil {
			return err
		}
		if len(rules) > 0 {
			before, err := loadRecord(ctx, tx, id, "")
			if err != nil {
				return err
			}
			if events, err = before.Keep(events, rules); err != nil {
				return err
			}
		}
		if err := insertEvents(ctx, tx, id, events, now); err != nil {
			return err
		}
		if rec, err = loadRecord(ctx, tx, id, ""); err != nil {
			return err
		}
		if rec.Move() {
			err = saveHike(ctx, tx, rec.Hike)
		}
		return err
	})
	if err == nil {
		db.touch(id)
	}
	return rec, found(err, "append to roll of hike %d", id)
}

// insertEvents passes over ids that are there already: a device may send twice.
func insertEvents(ctx context.Context, tx pgx.Tx, id hike.HikeID, events []roll.Event, now time.Time) error {
	batch := &pgx.Batch{}
	for _, e := range events {
		body, err := json.Marshal(e)
		if err != nil {
			return fmt.Errorf("event %s: %w", e.ID, err)
		}
		batch.Queue(`
			INSERT INTO roll_events (id, hike_id, at, recorded, body)
			VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (id) DO NOTHING`, e.ID, id, e.At, now, body)
	}
	batch.Queue(`SELECT pg_notify($1, $2)`, rollChannel, strconv.FormatInt(int64(id), 10))
	return tx.SendBatch(ctx, batch).Close()
}

func (db *DB) placesByHike(ctx context.Context, ids []hike.HikeID) (map[hike.HikeID][]hike.SignUp, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE hike_id = ANY($1) ORDER BY asked_order`, ids)
	list, err := pgx.CollectRows(rows, scanSignUp)
	by := map[hike.HikeID][]hike.SignUp{}
	for _, s := range list {
		by[s.Hike] = append(by[s.Hike], s)
	}
	return by, err
}

func (db *DB) eventsByHike(ctx context.Context, ids []hike.HikeID, into map[hike.HikeID]*roll.Watched) error {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			hike_id,
			body,
			recorded
		FROM roll_events
		WHERE hike_id = ANY($1)
		ORDER BY seq`, ids)
	var of hike.HikeID
	var body []byte
	var recorded time.Time
	_, err := pgx.ForEachRow(rows, []any{&of, &body, &recorded}, func() error {
		e := roll.Event{}
		if err := json.Unmarshal(body, &e); err != nil {
			return fmt.Errorf("event of hike %d: %w", of, err)
		}
		e.Recorded = recorded
		into[of].Events = append(into[of].Events, e)
		return nil
	})
	return err
}
