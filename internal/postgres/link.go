package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
)

func loadLink(ctx context.Context, q querier, hash account.Hash, lock string) (account.Link, error) {
	l := account.Link{Hash: hash}
	var used *time.Time
	err := q.QueryRow(ctx, `
		SELECT
			purpose,
			subject,
			expires,
			used
		FROM links
		WHERE hash = $1 `+lock, hash[:]).Scan(&l.Purpose, &l.Subject, &l.Expires, &used)
	if used != nil {
		l.Used = *used
	}
	return l, err
}

// useLink opens a link that works once and marks it used.
func useLink(ctx context.Context, tx pgx.Tx, hash account.Hash, now time.Time) (account.Link, error) {
	l, err := loadLink(ctx, tx, hash, "FOR UPDATE")
	if err != nil {
		return l, err
	}
	if err := l.Check(now); err != nil {
		return l, err
	}
	_, err = tx.Exec(ctx, `UPDATE links SET used = $2 WHERE hash = $1`, hash[:], now)
	return l, err
}

func (s accounts) AddLink(ctx context.Context, l account.Link) error {
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `DELETE FROM links WHERE purpose = $1 AND subject = $2`, l.Purpose, l.Subject); err != nil {
			return err
		}
		_, err := tx.Exec(ctx, `INSERT INTO links (hash, purpose, subject, expires) VALUES ($1, $2, $3, $4)`,
			l.Hash[:], l.Purpose, l.Subject, l.Expires)
		return err
	})
	return accountFault(err, "add link")
}

func (s accounts) LinkByHash(ctx context.Context, h account.Hash) (account.Link, error) {
	l, err := loadLink(ctx, s.pool, h, "")
	return l, accountFault(err, "load link")
}

func (s accounts) RemoveLinks(ctx context.Context, p account.Purpose, subject string) error {
	_, err := s.pool.Exec(ctx, `DELETE FROM links WHERE purpose = $1 AND subject = $2`, p, subject)
	return accountFault(err, "remove links")
}
