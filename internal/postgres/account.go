package postgres

import (
	"context"
	"errors"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5/pgconn"

	"saltbush/internal/account"
	"saltbush/internal/hike"
)

// AccountStore gives the account store of this database.
func (db *DB) AccountStore() account.Store { return accounts{db} }

// accounts implements account.Store.
type accounts struct{ *DB }

// accountErr is wrapErr with the errors of accounts.
func accountErr(err error, what string) error {
	var pgErr *pgconn.PgError
	if errors.As(err, &pgErr) && pgErr.ConstraintName == "accounts_email" {
		err = account.ErrEmailTaken
	}
	return wrapNone(err, account.ErrNotFound, "%s", what)
}

const accountColumns = `
	a.id,
	a.name,
	a.email,
	a.phone,
	a.roles,
	a.password_hash,
	a.active,
	a.units,
	a.created`

func (s accounts) AccountByEmail(ctx context.Context, email string) (account.Account, error) {
	a, err := one[account.Account](ctx, s.DB, `SELECT`+accountColumns+`
		FROM accounts a WHERE lower(email) = @email`, args{"email": email})
	return a, accountErr(err, "load account")
}

func (s accounts) AccountByID(ctx context.Context, id account.ID) (account.Account, error) {
	a, err := one[account.Account](ctx, s.DB, `SELECT`+accountColumns+`
		FROM accounts a WHERE id = @id`, args{"id": id})
	return a, accountErr(err, "load account")
}

func (s accounts) Accounts(ctx context.Context) ([]account.Account, error) {
	list, err := many[account.Account](ctx, s.DB, `SELECT`+accountColumns+`
		FROM accounts a ORDER BY lower(name), id`, nil)
	return list, accountErr(err, "list accounts")
}

func (s accounts) CountAccounts(ctx context.Context) (int, error) {
	n, err := value[int](ctx, s.DB, `SELECT count(*) FROM accounts`, nil)
	return n, accountErr(err, "count accounts")
}

func (s accounts) CreateAccount(ctx context.Context, a account.Account) (account.Account, error) {
	made, err := s.insertAccount(ctx, a)
	return made, accountErr(err, "create account")
}

func (db *DB) insertAccount(ctx context.Context, a account.Account) (account.Account, error) {
	row := accountArgs(a)
	row["password_hash"], row["created"] = a.PasswordHash, a.Created
	delete(row, "id")
	return one[account.Account](ctx, db, insertSQL("accounts AS a", row)+` RETURNING`+accountColumns, row)
}

// accountArgs are the columns that may change.
func accountArgs(a account.Account) args {
	if a.Roles == nil {
		a.Roles = []account.Role{} // the column holds no null
	}
	return args{
		"id": a.ID, "name": a.Name, "email": a.Email, "phone": a.Phone, "roles": a.Roles, "active": a.Active,
		"units": a.Units,
	}
}

// lockAccounts makes changes that look at all accounts wait for one another.
func (s accounts) lockAccounts(ctx context.Context) error {
	return s.exec(ctx, `LOCK TABLE accounts IN SHARE ROW EXCLUSIVE MODE`, nil)
}

func (s accounts) CreateFirst(
	ctx context.Context, link account.Hash, a account.Account, now time.Time,
) (made account.Account, err error) {
	err = s.inTx(ctx, func(ctx context.Context) error {
		if err := s.lockAccounts(ctx); err != nil {
			return err
		}
		n, err := s.CountAccounts(ctx)
		if err != nil {
			return err
		}
		if n > 0 {
			return account.ErrNotFirst
		}
		if _, err := s.useLink(ctx, link, now); err != nil {
			return err
		}
		made, err = s.insertAccount(ctx, a)
		return err
	})
	return made, accountErr(err, "create first account")
}

func (s accounts) UpdateAccount(ctx context.Context, a account.Account) error {
	err := s.inTx(ctx, func(ctx context.Context) error {
		if err := s.lockAccounts(ctx); err != nil {
			return err
		}
		all, err := s.Accounts(ctx)
		if err != nil {
			return err
		}
		if err := account.KeepsCoordinator(all, a); err != nil {
			return err
		}
		row := accountArgs(a)
		return s.update(ctx, "accounts", row)
	})
	return accountErr(err, "update account")
}

func (s accounts) SetPassword(ctx context.Context, id account.ID, hash string) error {
	err := s.execOne(ctx, `UPDATE accounts SET password_hash = @hash WHERE id = @id`, args{"id": id, "hash": hash})
	return accountErr(err, "set password")
}

func (s accounts) SetPasswordByLink(
	ctx context.Context, link account.Hash, hash string, now time.Time,
) (a account.Account, err error) {
	err = s.inTx(ctx, func(ctx context.Context) error {
		l, err := s.useLink(ctx, link, now)
		if err != nil {
			return err
		}
		a, err = one[account.Account](ctx, s.DB, `
			UPDATE accounts AS a SET password_hash = @hash WHERE id::text = @id
			RETURNING`+accountColumns, args{"id": l.Subject, "hash": hash})
		return err
	})
	return a, accountErr(err, "set password by link")
}

// BringPeople makes the accounts of several people, with what is on record about each and
// the link that invites each, or nothing at all. The three lists belong together one by
// one. It is account.ErrEmailTaken where somebody has the address of another.
func (db *DB) BringPeople(
	ctx context.Context, people []account.Account, records []hike.Qualification, links []account.Link,
) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		for i, a := range people {
			made, err := db.insertAccount(ctx, a)
			if err != nil {
				return err
			}
			l := links[i]
			l.Subject = strconv.FormatInt(int64(made.ID), 10)
			if err := db.insertLink(ctx, l); err != nil {
				return err
			}
			if err := db.insertRecord(ctx, int64(made.ID), records[i]); err != nil {
				return err
			}
		}
		return nil
	})
	return accountErr(err, "bring people")
}

// insertRecord stores what is on record about a new account.
func (db *DB) insertRecord(ctx context.Context, of int64, q hike.Qualification) error {
	for _, s := range q.Standings {
		if err := db.AddStanding(ctx, of, s); err != nil {
			return err
		}
	}
	for _, c := range q.Certificates {
		c.Account = of
		if err := db.AddCertificate(ctx, c); err != nil {
			return err
		}
	}
	return nil
}
