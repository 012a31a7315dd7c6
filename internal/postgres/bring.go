package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
)

// BringSignUps stores a list of requests for places as the hike's rule takes them, whole or
// not at all. The hike's row is locked, so that no place is given twice.
func (db *DB) BringSignUps(ctx context.Context, id hike.HikeID, list []hike.SignUp, now time.Time) (brought []hike.Brought, err error) {
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHike(ctx, tx, id, "FOR UPDATE OF h")
		if err != nil {
			return err
		}
		others, err := signUpsOf(ctx, tx, id)
		if err != nil {
			return err
		}
		brought = h.Bring(list, others, now)
		if !hike.BroughtWhole(brought) {
			return nil
		}
		for i := range brought {
			if !brought[i].Added() {
				continue
			}
			if err := insertSignUp(ctx, tx, &brought[i].SignUp); err != nil {
				return err
			}
			if err := db.sealNeeds(ctx, tx, &brought[i].SignUp); err != nil {
				return err
			}
		}
		return nil
	})
	return brought, found(err, "bring sign-ups to hike %d", id)
}
