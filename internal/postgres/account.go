package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"saltbush/internal/account"
)

// Accounts gives the account store of this database.
func (db *DB) AccountStore() account.Store { return accounts{db} }

// accounts implements account.Store.
type accounts struct{ *DB }

const accountColumns = `
	id,
	name,
	email,
	phone,
	roles,
	password_hash,
	active,
	units,
	created`

func scanAccount(row pgx.CollectableRow) (a account.Account, err error) {
	err = row.Scan(&a.ID, &a.Name, &a.Email, &a.Phone, &a.Roles, &a.PasswordHash, &a.Active, &a.Units, &a.Created)
	return a, err
}

// accountWhere finds one account; condition is a literal of this file.
func accountWhere(ctx context.Context, q querier, condition string, arg any) (account.Account, error) {
	rows, _ := q.Query(ctx, `SELECT`+accountColumns+` FROM accounts WHERE `+condition, arg)
	a, err := pgx.CollectExactlyOneRow(rows, scanAccount)
	return a, accountFault(err, "load account")
}

// accountFault turns the database's word for a fault into the domain's.
func accountFault(err error, what string) error {
	var pgErr *pgconn.PgError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, pgx.ErrNoRows):
		return fmt.Errorf("%s: %w", what, account.ErrNotFound)
	case errors.As(err, &pgErr) && pgErr.ConstraintName == "accounts_email":
		return fmt.Errorf("%s: %w", what, account.ErrEmailTaken)
	}
	return fmt.Errorf("%s: %w", what, err)
}

func (s accounts) AccountByEmail(ctx context.Context, email string) (account.Account, error) {
	return accountWhere(ctx, s.pool, `lower(email) = $1`, email)
}

func (s accounts) AccountByID(ctx context.Context, id account.ID) (account.Account, error) {
	return accountWhere(ctx, s.pool, `id = $1`, id)
}

func (s accounts) Accounts(ctx context.Context) ([]account.Account, error) {
	return listAccounts(ctx, s.pool)
}

func listAccounts(ctx context.Context, q querier) ([]account.Account, error) {
	rows, _ := q.Query(ctx, `SELECT`+accountColumns+` FROM accounts ORDER BY lower(name), id`)
	list, err := pgx.CollectRows(rows, scanAccount)
	return list, accountFault(err, "list accounts")
}

func (s accounts) CountAccounts(ctx context.Context) (n int, err error) {
	err = s.pool.QueryRow(ctx, `SELECT count(*) FROM accounts`).Scan(&n)
	return n, accountFault(err, "count accounts")
}

func (s accounts) CreateAccount(ctx context.Context, a account.Account) (account.Account, error) {
	return insertAccount(ctx, s.pool, a)
}

func insertAccount(ctx context.Context, q querier, a account.Account) (account.Account, error) {
	if a.Roles == nil {
		a.Roles = []account.Role{} // none is no null
	}
	rows, _ := q.Query(ctx, `
		INSERT INTO accounts (name, email, phone, roles, password_hash, active, units, created)
		VALUES (@name, @email, @phone, @roles, @password_hash, @active, @units, @created)
		RETURNING`+accountColumns, pgx.NamedArgs{
		"name": a.Name, "email": a.Email, "phone": a.Phone, "roles": a.Roles,
		"password_hash": a.PasswordHash, "active": a.Active, "units": a.Units, "created": a.Created,
	})
	made, err := pgx.CollectExactlyOneRow(rows, scanAccount)
	return made, accountFault(err, "create account")
}

// lockAccounts makes changes that look at all accounts wait for one another.
func lockAccounts(ctx context.Context, tx pgx.Tx) error {
	_, err := tx.Exec(ctx, `LOCK TABLE accounts IN SHARE ROW EXCLUSIVE MODE`)
	return err
}

func (s accounts) CreateFirst(ctx context.Context, link account.Hash, a account.Account, now time.Time) (made account.Account, err error) {
	err = pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if err := lockAccounts(ctx, tx); err != nil {
			return err
		}
		var n int
		if err := tx.QueryRow(ctx, `SELECT count(*) FROM accounts`).Scan(&n); err != nil {
			return err
		}
		if n > 0 {
			return account.ErrNotFirst
		}
		if _, err := useLink(ctx, tx, link, now); err != nil {
			return err
		}
		made, err = insertAccount(ctx, tx, a)
		return err
	})
	return made, accountFault(err, "create first account")
}

func (s accounts) UpdateAccount(ctx context.Context, a account.Account) error {
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if err := lockAccounts(ctx, tx); err != nil {
			return err
		}
		all, err := listAccounts(ctx, tx)
		if err != nil {
			return err
		}
		if err := account.KeepsCoordinator(all, a); err != nil {
			return err
		}
		tag, err := tx.Exec(ctx, `
			UPDATE accounts SET name = $2, email = $3, phone = $4, roles = $5, active = $6, units = $7
			WHERE id = $1`, a.ID, a.Name, a.Email, a.Phone, a.Roles, a.Active, a.Units)
		return oneRow(tag, err)
	})
	return accountFault(err, "update account")
}

// oneRow makes a change that met no row an error.
func oneRow(tag pgconn.CommandTag, err error) error {
	if err == nil && tag.RowsAffected() == 0 {
		return pgx.ErrNoRows
	}
	return err
}

func (s accounts) SetPassword(ctx context.Context, id account.ID, hash string) error {
	tag, err := s.pool.Exec(ctx, `UPDATE accounts SET password_hash = $2 WHERE id = $1`, id, hash)
	return accountFault(oneRow(tag, err), "set password")
}

func (s accounts) SetPasswordByLink(ctx context.Context, link account.Hash, hash string, now time.Time) (a account.Account, err error) {
	err = pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		l, err := useLink(ctx, tx, link, now)
		if err != nil {
			return err
		}
		tag, err := tx.Exec(ctx, `UPDATE accounts SET password_hash = $2 WHERE id::text = $1`, l.Subject, hash)
		if err = oneRow(tag, err); err != nil {
			return err
		}
		a, err = accountWhere(ctx, tx, `id::text = $1`, l.Subject)
		return err
	})
	return a, accountFault(err, "set password by link")
}
