package postgres

import (
	"context"

	"saltbush/internal/hike"
)

// Ground loads the reports and closures of a trail.
func (db *DB) Ground(ctx context.Context, id hike.TrailID) (g hike.Ground, err error) {
	g.Scouts, err = many[hike.ScoutReport](ctx, db, `
		SELECT
			id,
			trail_id AS trail,
			walked,
			by_whom AS by,
			times,
			conditions,
			hazards,
			noted
		FROM scout_reports
		WHERE trail_id = @id
		ORDER BY walked DESC, id DESC`, args{"id": id})
	if err != nil {
		return g, wrapErr(err, "list scout reports of trail %d", id)
	}
	g.Closures, err = many[hike.Closure](ctx, db, `
		SELECT
			id,
			trail_id AS trail,
			from_day AS from,
			to_day AS to,
			why,
			source,
			blocks,
			by_whom AS by,
			noted
		FROM closures
		WHERE trail_id = @id
		ORDER BY from_day, id`, args{"id": id})
	return g, wrapErr(err, "list closures of trail %d", id)
}

// AddScoutReport keeps a report beside those before it.
func (db *DB) AddScoutReport(ctx context.Context, s hike.ScoutReport) error {
	return wrapErr(db.insert(ctx, "scout_reports", args{
		"trail_id": s.Trail, "walked": s.Walked, "by_whom": s.By, "times": s.Times, "conditions": s.Conditions,
		"hazards": s.Hazards, "noted": s.Noted,
	}), "add scout report of trail %d", s.Trail)
}

// AddClosure keeps a closure.
func (db *DB) AddClosure(ctx context.Context, c hike.Closure) error {
	return wrapErr(db.insert(ctx, "closures", args{
		"trail_id": c.Trail, "from_day": c.From, "to_day": c.To, "why": c.Why, "source": c.Source,
		"blocks": c.Blocks, "by_whom": c.By, "noted": c.Noted,
	}), "add closure of trail %d", c.Trail)
}

// RemoveClosure takes a closure of that trail back.
func (db *DB) RemoveClosure(ctx context.Context, trail hike.TrailID, id int64) error {
	err := db.execOne(ctx, `DELETE FROM closures WHERE id = @id AND trail_id = @trail`, args{"id": id, "trail": trail})
	return wrapErr(err, "remove closure %d of trail %d", id, trail)
}

// Normals returns the monthly normals of a trail.
func (db *DB) Normals(ctx context.Context, id hike.TrailID) (hike.TrailNormals, error) {
	n, err := one[hike.TrailNormals](ctx, db, `
		SELECT
			trail_id AS trail,
			normals,
			source,
			typed,
			typed_by AS by
		FROM trail_normals
		WHERE trail_id = @id`, args{"id": id})
	n.Trail = id
	return n, wrapErr(err, "load normals of trail %d", id)
}

// SaveNormals replaces the monthly normals of a trail; none takes them away.
func (db *DB) SaveNormals(ctx context.Context, n hike.TrailNormals) error {
	if len(n.Normals) == 0 {
		err := db.exec(ctx, `DELETE FROM trail_normals WHERE trail_id = @id`, args{"id": n.Trail})
		return wrapErr(err, "remove normals of trail %d", n.Trail)
	}
	err := db.upsert(ctx, "trail_normals", "trail_id", args{
		"trail_id": n.Trail, "normals": n.Normals, "source": n.Source, "typed": n.Typed, "typed_by": n.By,
	})
	return wrapErr(err, "save normals of trail %d", n.Trail)
}
