package postgres

import (
	"context"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
)

func (s accounts) AddSignIn(ctx context.Context, in account.SignIn) error {
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `DELETE FROM sign_ins WHERE last_seen <= $1`, in.Began.Add(-account.SignInFor)); err != nil {
			return err
		}
		_, err := tx.Exec(ctx, `
			INSERT INTO sign_ins (id, account_id, began, last_seen, device, network, second)
			VALUES ($1, $2, $3, $3, $4, $5, $6)`, in.ID, in.Account, in.Began, in.Device, in.Network, in.Second)
		return err
	})
	return accountFault(err, "add sign-in")
}

func (s accounts) SignedInAs(ctx context.Context, id string, now time.Time) (account.Session, error) {
	columns := strings.ReplaceAll(accountColumns, "\n\t", "\n\ta.")
	var seen time.Time
	var asked *time.Time
	rows, _ := s.pool.Query(ctx, `
		SELECT`+columns+`,
			i.last_seen,
			i.second,
			t.asked
		FROM sign_ins AS i
		JOIN accounts AS a ON a.id = i.account_id
		LEFT JOIN two_steps AS t ON t.account_id = a.id
		WHERE i.id = $1 AND i.last_seen > $2`, id, now.Add(-account.SignInFor))
	a, err := pgx.CollectExactlyOneRow(rows, func(row pgx.CollectableRow) (a account.Session, err error) {
		err = row.Scan(&a.ID, &a.Name, &a.Email, &a.Phone, &a.Roles, &a.PasswordHash, &a.Active, &a.Units, &a.Created, &seen, &a.Second, &asked)
		a.Asked = orZero(asked)
		return a, err
	})
	if err == nil && now.Sub(seen) >= account.SeenEvery {
		_, err = s.pool.Exec(ctx, `UPDATE sign_ins SET last_seen = $2 WHERE id = $1`, id, now)
	}
	return a, accountFault(err, "load sign-in")
}

func (s accounts) SignIns(ctx context.Context, of account.ID, now time.Time) ([]account.SignIn, error) {
	rows, _ := s.pool.Query(ctx, `
		SELECT
			id::text,
			account_id,
			began,
			last_seen,
			device,
			network,
			second
		FROM sign_ins
		WHERE account_id = $1 AND last_seen > $2
		ORDER BY last_seen DESC, id`, of, now.Add(-account.SignInFor))
	list, err := pgx.CollectRows(rows, pgx.RowToStructByPos[account.SignIn])
	return list, accountFault(err, "list sign-ins")
}

func (s accounts) EndSignIn(ctx context.Context, of account.ID, id string) error {
	_, err := s.pool.Exec(ctx, `DELETE FROM sign_ins WHERE account_id = $1 AND id::text = $2`, of, id)
	return accountFault(err, "end sign-in")
}

func (s accounts) EndSignIns(ctx context.Context, of account.ID, but string) error {
	_, err := s.pool.Exec(ctx, `DELETE FROM sign_ins WHERE account_id = $1 AND id::text <> $2`, of, but)
	return accountFault(err, "end sign-ins")
}

func (s accounts) SecondStepTaken(ctx context.Context, of account.ID, id string) error {
	_, err := s.pool.Exec(ctx, `UPDATE sign_ins SET second = true WHERE account_id = $1 AND id::text = $2`, of, id)
	return accountFault(err, "note second step")
}

func (s accounts) SecondStepGone(ctx context.Context, of account.ID) error {
	_, err := s.pool.Exec(ctx, `UPDATE sign_ins SET second = false WHERE account_id = $1`, of)
	return accountFault(err, "take second step away")
}
