package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
)

// Ground loads the reports and closures of a trail.
func (db *DB) Ground(ctx context.Context, id hike.TrailID) (g hike.Ground, err error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			id,
			trail_id,
			walked,
			by_whom,
			times,
			conditions,
			hazards,
			noted
		FROM scout_reports
		WHERE trail_id = $1
		ORDER BY walked DESC, id DESC`, id)
	g.Scouts, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (s hike.ScoutReport, err error) {
		var walked time.Time
		err = row.Scan(&s.ID, &s.Trail, &walked, &s.By, &s.Times, &s.Conditions, &s.Hazards, &s.Noted)
		s.Walked = hike.DateOf(walked)
		return s, err
	})
	if err != nil {
		return g, found(err, "list scout reports of trail %d", id)
	}
	rows, _ = db.pool.Query(ctx, `
		SELECT
			id,
			trail_id,
			from_day,
			to_day,
			why,
			source,
			blocks,
			by_whom,
			noted
		FROM closures
		WHERE trail_id = $1
		ORDER BY from_day, id`, id)
	g.Closures, err = pgx.CollectRows(rows, scanClosure)
	return g, found(err, "list closures of trail %d", id)
}

func scanClosure(row pgx.CollectableRow) (c hike.Closure, err error) {
	var from time.Time
	var to *time.Time
	err = row.Scan(&c.ID, &c.Trail, &from, &to, &c.Why, &c.Source, &c.Blocks, &c.By, &c.Noted)
	c.From = hike.DateOf(from)
	if to != nil {
		c.To = hike.DateOf(*to)
	}
	return c, err
}

// AddScoutReport keeps a report beside those before it.
func (db *DB) AddScoutReport(ctx context.Context, s hike.ScoutReport) error {
	_, err := db.pool.Exec(ctx, `
		INSERT INTO scout_reports (trail_id, walked, by_whom, times, conditions, hazards, noted)
		VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		s.Trail, s.Walked.Time(), s.By, s.Times, s.Conditions, s.Hazards, s.Noted)
	return found(err, "add scout report of trail %d", s.Trail)
}

// AddClosure keeps a closure.
func (db *DB) AddClosure(ctx context.Context, c hike.Closure) error {
	var to *time.Time
	if !c.To.IsZero() {
		last := c.To.Time()
		to = &last
	}
	_, err := db.pool.Exec(ctx, `
		INSERT INTO closures (trail_id, from_day, to_day, why, source, blocks, by_whom, noted)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		c.Trail, c.From.Time(), to, c.Why, c.Source, c.Blocks, c.By, c.Noted)
	return found(err, "add closure of trail %d", c.Trail)
}

// RemoveClosure takes a closure of that trail back.
func (db *DB) RemoveClosure(ctx context.Context, trail hike.TrailID, id int64) error {
	tag, err := db.pool.Exec(ctx, `DELETE FROM closures WHERE id = $1 AND trail_id = $2`, id, trail)
	if err == nil && tag.RowsAffected() == 0 {
		err = hike.ErrNotFound
	}
	return found(err, "remove closure %d of trail %d", id, trail)
}
