package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
)

func (s accounts) PlacesOf(ctx context.Context, email string, after time.Time) ([]string, error) {
	rows, _ := s.pool.Query(ctx, `
		SELECT s.id::text
		FROM signups AS s
		JOIN hikes AS h ON h.id = s.hike_id
		WHERE lower(s.email) = $1 AND h.start > $2
		ORDER BY h.start, s.asked_order`, email, after)
	list, err := pgx.CollectRows(rows, pgx.RowTo[string])
	return list, accountFault(err, "list places of an address")
}

func (s accounts) RenewPlace(ctx context.Context, signUp string, h account.Hash) error {
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		tag, err := tx.Exec(ctx, `UPDATE signups SET link = $2 WHERE id = $1`, signUp, h[:])
		if err := oneRow(tag, err); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `DELETE FROM links WHERE purpose = $1 AND subject = $2`, account.Place, signUp)
		return err
	})
	return accountFault(err, "renew link to a place")
}
