package postgres

import (
	"context"
	"errors"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
)

// House returns what the organisation says of itself; its zero value until it has.
func (db *DB) House(ctx context.Context) (h hike.House, err error) {
	err = db.pool.QueryRow(ctx, `
		SELECT
			organisation,
			emergency,
			zone
		FROM house`).Scan(&h.Organisation, &h.Emergency, &h.Zone)
	if errors.Is(err, pgx.ErrNoRows) {
		return hike.House{}, nil
	}
	return h, found(err, "load house")
}

// SaveHouse replaces what the organisation says of itself.
func (db *DB) SaveHouse(ctx context.Context, h hike.House) error {
	_, err := db.pool.Exec(ctx, `
		INSERT INTO house (organisation, emergency, zone)
		VALUES ($1, $2, $3)
		ON CONFLICT (one) DO UPDATE SET organisation = $1, emergency = $2, zone = $3`,
		h.Organisation, h.Emergency, h.Zone)
	return found(err, "save house")
}
