package postgres

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// trailRow is a trail without its samples: a row of its table, or the same row as JSON.
type trailRow struct {
	ID          hike.TrailID `json:"id"`
	Name        string       `json:"name"`
	Summary     string       `json:"summary"`
	Zone        string       `json:"zone"`
	Surface     walk.Surface `json:"surface"`
	Meeting     string       `json:"meeting"`
	Manager     string       `json:"manager"`
	PermitCap   int          `json:"permit_cap"`
	PermitStaff bool         `json:"permit_staff"`
	Signal      string       `json:"signal"`
	PermitNo    string       `json:"permit_number" db:"permit_number"`
	Shape       track.Shape  `json:"shape"`
	Heights     bool         `json:"heights"`
	LengthM     unit.Length  `json:"length_m"`
	AscentM     unit.Length  `json:"ascent_m"`
	DescentM    unit.Length  `json:"descent_m"`
	LowestM     unit.Length  `json:"lowest_m"`
	HighestM    unit.Length  `json:"highest_m"`
	Steepest    unit.Slope   `json:"steepest"`
	Created     time.Time    `json:"-"`
}

func (r trailRow) trail() hike.Trail {
	return hike.Trail{
		ID: r.ID, Name: r.Name, Summary: r.Summary, Zone: r.Zone, Surface: r.Surface,
		Meeting: r.Meeting, Manager: r.Manager, PermitCap: r.PermitCap, PermitWithoutStaff: !r.PermitStaff, Signal: r.Signal, PermitNumber: r.PermitNo, Created: r.Created,
		Profile: track.Profile{
			Shape: r.Shape, HasElevation: r.Heights, Length: r.LengthM, Ascent: r.AscentM, Descent: r.DescentM,
			Lowest: r.LowestM, Highest: r.HighestM, Steepest: r.Steepest,
		},
	}
}

// trailArgs are the named arguments that write a trail.
func trailArgs(t hike.Trail) (pgx.NamedArgs, error) {
	profile, err := t.Profile.MarshalBinary()
	if err != nil {
		return nil, fmt.Errorf("pack profile: %w", err)
	}
	p := t.Profile
	return pgx.NamedArgs{
		"id": t.ID, "name": t.Name, "summary": t.Summary, "zone": t.Zone, "surface": t.Surface,
		"meeting": t.Meeting, "manager": t.Manager, "permit_cap": t.PermitCap, "permit_staff": !t.PermitWithoutStaff, "signal": t.Signal, "permit_number": t.PermitNumber,
		"profile": profile, "shape": p.Shape, "heights": p.HasElevation, "length_m": p.Length,
		"ascent_m": p.Ascent, "descent_m": p.Descent, "lowest_m": p.Lowest, "highest_m": p.Highest,
		"steepest": p.Steepest, "created": t.Created,
	}, nil
}

// AddTrail stores a trail, its points and the file that it came from.
func (db *DB) AddTrail(ctx context.Context, t hike.Trail, upload []byte) (id hike.TrailID, err error) {
	args, err := trailArgs(t)
	if err != nil {
		return 0, err
	}
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		row := tx.QueryRow(ctx, `
			INSERT INTO trails (
				name, summary, zone, surface, meeting, manager, permit_cap, permit_staff, signal, permit_number,
				profile, shape, heights, length_m, ascent_m, descent_m, lowest_m, highest_m, steepest, created
			) VALUES (
				@name, @summary, @zone, @surface, @meeting, @manager, @permit_cap, @permit_staff, @signal, @permit_number,
				@profile, @shape, @heights, @length_m, @ascent_m, @descent_m, @lowest_m, @highest_m, @steepest, @created
			) RETURNING id`, args)
		if err := row.Scan(&id); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `INSERT INTO trail_uploads (trail_id, gpx) VALUES ($1, $2)`, id, upload); err != nil {
			return err
		}
		return replacePoints(ctx, tx, id, t.Points)
	})
	return id, found(err, "add trail %q", t.Name)
}

// replacePoints writes the points as they now are; a point keeps its place, not its id.
func replacePoints(ctx context.Context, tx pgx.Tx, id hike.TrailID, points []hike.Point) error {
	batch := &pgx.Batch{}
	batch.Queue(`DELETE FROM trail_points WHERE trail_id = $1`, id)
	for _, p := range points {
		batch.Queue(`INSERT INTO trail_points (trail_id, kind, name, along_m, note, water_seen) VALUES ($1, $2, $3, $4, $5, $6)`,
			id, p.Kind, p.Name, p.Along, p.Note, dateOrNull(p.WaterSeen))
	}
	return tx.SendBatch(ctx, batch).Close()
}

const trailColumns = `
	id,
	name,
	summary,
	zone,
	surface,
	meeting,
	manager,
	permit_cap,
	permit_staff,
	signal,
	permit_number,
	shape,
	heights,
	length_m,
	ascent_m,
	descent_m,
	lowest_m,
	highest_m,
	steepest,
	created`

// Trail loads a trail with profile and points.
func (db *DB) Trail(ctx context.Context, id hike.TrailID) (hike.Trail, error) {
	t, err := loadTrail(ctx, db.pool, id, "")
	return t, found(err, "load trail %d", id)
}

// querier is a pool or a transaction.
type querier interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
}

// loadTrail reads a whole trail; lock is "" or "FOR UPDATE".
func loadTrail(ctx context.Context, q querier, id hike.TrailID, lock string) (hike.Trail, error) {
	rows, _ := q.Query(ctx, `SELECT`+trailColumns+` FROM trails WHERE id = $1 `+lock, id)
	row, err := pgx.CollectExactlyOneRow(rows, pgx.RowToStructByName[trailRow])
	if err != nil {
		return hike.Trail{}, err
	}
	t := row.trail()
	var packed []byte
	if err := q.QueryRow(ctx, `SELECT profile FROM trails WHERE id = $1`, id).Scan(&packed); err != nil {
		return hike.Trail{}, err
	}
	if err := t.Profile.UnmarshalBinary(packed); err != nil {
		return hike.Trail{}, fmt.Errorf("unpack profile: %w", err)
	}
	t.Points, err = loadPoints(ctx, q, id)
	return t, err
}

// dateOrNull keeps a day that is not known as null.
func dateOrNull(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

func loadPoints(ctx context.Context, q querier, id hike.TrailID) ([]hike.Point, error) {
	rows, _ := q.Query(ctx, `
		SELECT
			id,
			kind,
			name,
			along_m,
			note,
			water_seen
		FROM trail_points
		WHERE trail_id = $1
		ORDER BY along_m, id`, id)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (p hike.Point, err error) {
		var seen *time.Time
		err = row.Scan(&p.ID, &p.Kind, &p.Name, &p.Along, &p.Note, &seen)
		if seen != nil {
			p.WaterSeen = *seen
		}
		return p, err
	})
}

// Trails lists every trail by name, without samples and points.
func (db *DB) Trails(ctx context.Context) ([]hike.Trail, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+trailColumns+` FROM trails ORDER BY lower(name), id`)
	list, err := pgx.CollectRows(rows, pgx.RowToStructByName[trailRow])
	if err != nil {
		return nil, fmt.Errorf("list trails: %w", err)
	}
	trails := make([]hike.Trail, len(list))
	for i, r := range list {
		trails[i] = r.trail()
	}
	return trails, nil
}

// ChangeTrail saves what change does to a trail.
func (db *DB) ChangeTrail(ctx context.Context, id hike.TrailID, change func(*hike.Trail) error) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		t, err := loadTrail(ctx, tx, id, "FOR UPDATE")
		if err != nil {
			return err
		}
		if err := change(&t); err != nil {
			return err
		}
		return saveTrail(ctx, tx, t)
	})
	return found(err, "change trail %d", id)
}

func saveTrail(ctx context.Context, tx pgx.Tx, t hike.Trail) error {
	args, err := trailArgs(t)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `
		UPDATE trails SET
			name = @name, summary = @summary, zone = @zone, surface = @surface, meeting = @meeting,
			manager = @manager, permit_cap = @permit_cap, permit_staff = @permit_staff, signal = @signal, permit_number = @permit_number, profile = @profile, shape = @shape,
			heights = @heights, length_m = @length_m, ascent_m = @ascent_m, descent_m = @descent_m,
			lowest_m = @lowest_m, highest_m = @highest_m, steepest = @steepest
		WHERE id = @id`, args)
	if err != nil {
		return err
	}
	return replacePoints(ctx, tx, t.ID, t.Points)
}

// Upload returns the file that a trail came from, as it came.
func (db *DB) Upload(ctx context.Context, id hike.TrailID) (gpx []byte, err error) {
	err = db.pool.QueryRow(ctx, `SELECT gpx FROM trail_uploads WHERE trail_id = $1`, id).Scan(&gpx)
	return gpx, found(err, "load upload of trail %d", id)
}

// listedTrail reads a trail from its row as JSON, for lists that join it.
func listedTrail(row []byte) (hike.Trail, error) {
	var r trailRow
	if err := json.Unmarshal(row, &r); err != nil {
		return hike.Trail{}, fmt.Errorf("trail: %w", err)
	}
	return r.trail(), nil
}
