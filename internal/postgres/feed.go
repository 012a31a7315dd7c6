package postgres

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
)

const feedColumns = `
	id,
	account_id,
	name,
	made,
	last_read`

func scanFeed(row pgx.CollectableRow) (f account.Feed, err error) {
	err = row.Scan(&f.ID, &f.Owner, &f.Name, &f.Made, scanZero(&f.LastRead))
	return f, err
}

func (s accounts) Feeds(ctx context.Context, owner account.ID) ([]account.Feed, error) {
	rows, _ := s.pool.Query(ctx, `SELECT`+feedColumns+` FROM calendar_feeds WHERE account_id = $1 ORDER BY id DESC`, owner)
	list, err := pgx.CollectRows(rows, scanFeed)
	return list, found(err, "list calendar feeds of %d", owner)
}

// AddFeed counts with the account locked, so that two at once do not both fit.
func (s accounts) AddFeed(ctx context.Context, f account.Feed, h account.Hash) error {
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT FROM accounts WHERE id = $1 FOR UPDATE`, f.Owner); err != nil {
			return err
		}
		n := 0
		if err := tx.QueryRow(ctx, `SELECT count(*) FROM calendar_feeds WHERE account_id = $1`, f.Owner).Scan(&n); err != nil {
			return err
		}
		if n >= account.MaxFeeds {
			return account.ErrTooManyFeeds
		}
		_, err := tx.Exec(ctx, `INSERT INTO calendar_feeds (account_id, hash, name, made) VALUES ($1, $2, $3, $4)`, f.Owner, h[:], f.Name, f.Made)
		return err
	})
	return found(err, "add calendar feed")
}

// ReadFeed writes at most once an hour: programs read a feed far more often.
func (s accounts) ReadFeed(ctx context.Context, h account.Hash, now time.Time) (account.Feed, error) {
	rows, _ := s.pool.Query(ctx, `SELECT`+feedColumns+` FROM calendar_feeds WHERE hash = $1`, h[:])
	f, err := pgx.CollectExactlyOneRow(rows, scanFeed)
	if errors.Is(err, pgx.ErrNoRows) {
		return f, account.ErrLinkUnknown
	}
	if hour := now.Truncate(time.Hour); err == nil && f.LastRead.Before(hour) {
		_, err = s.pool.Exec(ctx, `UPDATE calendar_feeds SET last_read = $2 WHERE id = $1`, f.ID, hour)
	}
	return f, found(err, "read calendar feed")
}

func (s accounts) EndFeed(ctx context.Context, owner account.ID, id int64) error {
	tag, err := s.pool.Exec(ctx, `DELETE FROM calendar_feeds WHERE account_id = $1 AND id = $2`, owner, id)
	if err == nil && tag.RowsAffected() == 0 {
		return account.ErrNotFound
	}
	return found(err, "end calendar feed %d", id)
}
