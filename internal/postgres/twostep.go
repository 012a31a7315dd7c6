package postgres

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
)

func loadTwoStep(ctx context.Context, q querier, of account.ID, lock string) (t account.TwoStep, err error) {
	var key []byte
	var since, until *time.Time
	var recovery [][]byte
	err = q.QueryRow(ctx, `
		SELECT
			key,
			since,
			last_step,
			wrong,
			until,
			recovery
		FROM two_steps
		WHERE account_id = $1 `+lock, of).Scan(&key, &since, &t.LastStep, &t.Wrong, &until, &recovery)
	if errors.Is(err, pgx.ErrNoRows) {
		return t, nil
	}
	t.Key, t.Since, t.Until = account.CodeKeyFromBytes(key), orZero(since), orZero(until)
	for _, b := range recovery {
		hash, bad := account.HashFromBytes(b)
		if bad != nil {
			return t, bad
		}
		t.Recovery = append(t.Recovery, hash)
	}
	return t, err
}

func (s accounts) TwoStep(ctx context.Context, of account.ID) (account.TwoStep, error) {
	t, err := loadTwoStep(ctx, s.pool, of, "")
	return t, accountFault(err, "load second step")
}

func (s accounts) ChangeTwoStep(ctx context.Context, of account.ID, change func(*account.TwoStep)) error {
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `INSERT INTO two_steps (account_id) VALUES ($1) ON CONFLICT DO NOTHING`, of); err != nil {
			return err
		}
		t, err := loadTwoStep(ctx, tx, of, "FOR UPDATE")
		if err != nil {
			return err
		}
		change(&t)
		recovery := [][]byte{}
		for _, hash := range t.Recovery {
			recovery = append(recovery, hash[:])
		}
		_, err = tx.Exec(ctx, `
			UPDATE two_steps SET key = $2, since = $3, last_step = $4, wrong = $5, until = $6, recovery = $7
			WHERE account_id = $1`, of, t.Key.Bytes(), orNull(t.Since), t.LastStep, t.Wrong, orNull(t.Until), recovery)
		return err
	})
	return accountFault(err, "change second step")
}

func (s accounts) TwoSteps(ctx context.Context) (map[account.ID]bool, error) {
	rows, _ := s.pool.Query(ctx, `
		SELECT account_id FROM two_steps WHERE key IS NOT NULL
		UNION
		SELECT account_id FROM passkeys`)
	list, err := pgx.CollectRows(rows, pgx.RowTo[account.ID])
	has := map[account.ID]bool{}
	for _, id := range list {
		has[id] = true
	}
	return has, accountFault(err, "list second steps")
}

func (s accounts) AskTwoStep(ctx context.Context, of account.ID, now time.Time) (asked time.Time, err error) {
	err = s.pool.QueryRow(ctx, `
		INSERT INTO two_steps (account_id, asked) VALUES ($1, $2)
		ON CONFLICT (account_id) DO UPDATE SET asked = COALESCE(two_steps.asked, $2)
		RETURNING asked`, of, now).Scan(&asked)
	return asked, accountFault(err, "ask for a second step")
}
