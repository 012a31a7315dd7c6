package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
)

func (s accounts) AddPasskey(ctx context.Context, p account.Passkey) error {
	_, err := s.pool.Exec(ctx, `
		INSERT INTO passkeys (account_id, handle, name, credential, made)
		VALUES (@account_id, @handle, @name, @credential, @made)`, pgx.NamedArgs{
		"account_id": p.Account, "handle": p.Handle, "name": p.Name, "credential": p.Public, "made": p.Made,
	})
	return accountFault(err, "add passkey")
}

func (s accounts) Passkeys(ctx context.Context, of account.ID) ([]account.Passkey, error) {
	rows, _ := s.pool.Query(ctx, `
		SELECT
			id,
			account_id,
			handle,
			name,
			credential,
			made,
			last_used
		FROM passkeys
		WHERE account_id = $1
		ORDER BY id`, of)
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (p account.Passkey, err error) {
		var used *time.Time
		err = row.Scan(&p.ID, &p.Account, &p.Handle, &p.Name, &p.Public, &p.Made, &used)
		p.LastUsed = orZero(used)
		return p, err
	})
	return list, accountFault(err, "list passkeys")
}

func (s accounts) PasskeyUsed(ctx context.Context, p account.Passkey) error {
	tag, err := s.pool.Exec(ctx, `UPDATE passkeys SET credential = $2, last_used = $3 WHERE id = $1`, p.ID, p.Public, p.LastUsed)
	return accountFault(oneRow(tag, err), "note use of passkey")
}

func (s accounts) RemovePasskey(ctx context.Context, of account.ID, id int64) error {
	tag, err := s.pool.Exec(ctx, `DELETE FROM passkeys WHERE account_id = $1 AND id = $2`, of, id)
	return accountFault(oneRow(tag, err), "remove passkey")
}
