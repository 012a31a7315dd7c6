package postgres

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
)

// HoldHike keeps what belongs to a hike from being deleted. Where a hold stands already it
// stays as it is.
func (db *DB) HoldHike(ctx context.Context, id hike.HikeID, because, by string, now time.Time) error {
	if err := hike.CheckHold(because); err != nil {
		return err
	}
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error { return hold(ctx, tx, id, because, by, now) })
	return found(err, "hold hike %d", id)
}

// hold locks the hike, so that a deletion under way is waited for or sees it.
func hold(ctx context.Context, tx pgx.Tx, id hike.HikeID, because, by string, now time.Time) error {
	h, err := loadHike(ctx, tx, id, "FOR UPDATE OF h")
	if err != nil {
		return err
	}
	tag, err := tx.Exec(ctx, `
		INSERT INTO legal_holds (hike_id, because, by_whom, since) VALUES ($1, $2, $3, $4)
		ON CONFLICT (hike_id) WHERE lifted IS NULL DO NOTHING`, id, because, by, now)
	if err != nil || tag.RowsAffected() == 0 {
		return err
	}
	return note(ctx, tx, hike.Audited{At: now, By: by, What: "hold set", About: h.Title, Note: because})
}

// LiftHold ends a hold, with the reason. Where none stands it is a refusal.
func (db *DB) LiftHold(ctx context.Context, id hike.HikeID, because, by string, now time.Time) error {
	if err := hike.CheckLift(because); err != nil {
		return err
	}
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHike(ctx, tx, id, "FOR UPDATE OF h")
		if err != nil {
			return err
		}
		tag, err := tx.Exec(ctx, `UPDATE legal_holds SET lifted = $2, lifted_by = $3, lifted_because = $4 WHERE hike_id = $1 AND lifted IS NULL`, id, now, by, because)
		if err == nil && tag.RowsAffected() == 0 {
			err = hike.Refusal("No hold stands on this hike.")
		}
		if err != nil {
			return err
		}
		return note(ctx, tx, hike.Audited{At: now, By: by, What: "hold lifted", About: h.Title, Note: because})
	})
	return found(err, "lift the hold of hike %d", id)
}

// Holds lists every hold, those that stand first.
func (db *DB) Holds(ctx context.Context) ([]hike.Hold, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			l.hike_id,
			h.title,
			l.because,
			l.by_whom,
			l.since,
			l.lifted,
			l.lifted_by,
			l.lifted_because
		FROM legal_holds l
		JOIN hikes h ON h.id = l.hike_id
		ORDER BY l.lifted IS NOT NULL, l.since DESC`)
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (h hike.Hold, err error) {
		return h, row.Scan(&h.Hike, &h.Title, &h.Because, &h.By, &h.Since, scanZero(&h.Lifted), &h.LiftedBy, &h.LiftedBecause)
	})
	return list, found(err, "list holds")
}

// holdIncident sets a hold on a closed hike on which something happened, unless it has or
// had one: whoever lifted that knew why.
func holdIncident(ctx context.Context, tx pgx.Tx, id hike.HikeID, now time.Time) error {
	var had, called bool
	err := tx.QueryRow(ctx, `
		SELECT
			EXISTS (SELECT FROM legal_holds WHERE hike_id = $1),
			EXISTS (SELECT FROM watch_log WHERE hike_id = $1 AND step IN ('call', 'call-again'))`, id).Scan(&had, &called)
	if err != nil || had {
		return err
	}
	rec, err := loadRecord(ctx, tx, id, "")
	if err != nil {
		return err
	}
	words := rec.State().Incidents()
	if called {
		words = append(words, "a call for help went out")
	}
	if len(words) == 0 {
		return nil
	}
	return hold(ctx, tx, id, "On this hike "+strings.Join(words, ", ")+".", hike.HoldMaker, now)
}

// holdIncidents does the same for every hike that was closed before holds set themselves.
func holdIncidents(ctx context.Context, tx pgx.Tx, now time.Time) error {
	rows, _ := tx.Query(ctx, `
		SELECT id FROM hikes h
		WHERE state = 'closed'
			AND NOT EXISTS (SELECT FROM legal_holds l WHERE l.hike_id = h.id)
			AND NOT EXISTS (SELECT FROM retirements r WHERE r.hike_id = h.id)
		ORDER BY id`)
	ids, err := pgx.CollectRows(rows, pgx.RowTo[hike.HikeID])
	for _, id := range ids {
		if err == nil {
			err = holdIncident(ctx, tx, id, now)
		}
	}
	if err != nil {
		return fmt.Errorf("hold what something happened on: %w", err)
	}
	return nil
}
