package postgres

import (
	"context"
	"encoding/json"
	"fmt"

	"saltbush/internal/hike"
)

// Normals returns the monthly normals of a trail.
func (db *DB) Normals(ctx context.Context, id hike.TrailID) (hike.TrailNormals, error) {
	n := hike.TrailNormals{Trail: id}
	var months []byte
	err := db.pool.QueryRow(ctx, `
		SELECT
			normals,
			source,
			typed,
			typed_by
		FROM trail_normals
		WHERE trail_id = $1`, id).Scan(&months, &n.Source, &n.Typed, &n.By)
	if err != nil {
		return n, found(err, "load normals of trail %d", id)
	}
	if err := json.Unmarshal(months, &n.Normals); err != nil {
		return n, fmt.Errorf("normals of trail %d: %w", id, err)
	}
	return n, nil
}

// SaveNormals replaces the monthly normals of a trail; none takes them away.
func (db *DB) SaveNormals(ctx context.Context, n hike.TrailNormals) error {
	if len(n.Normals) == 0 {
		_, err := db.pool.Exec(ctx, `DELETE FROM trail_normals WHERE trail_id = $1`, n.Trail)
		return found(err, "remove normals of trail %d", n.Trail)
	}
	months, err := json.Marshal(n.Normals)
	if err != nil {
		return fmt.Errorf("normals of trail %d: %w", n.Trail, err)
	}
	_, err = db.pool.Exec(ctx, `
		INSERT INTO trail_normals (trail_id, normals, source, typed, typed_by)
		VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (trail_id) DO UPDATE SET normals = $2, source = $3, typed = $4, typed_by = $5`,
		n.Trail, months, n.Source, n.Typed, n.By)
	return found(err, "save normals of trail %d", n.Trail)
}
