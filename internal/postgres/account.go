package postgres

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"saltbush/internal/account"
	"saltbush/internal/ref"
	"saltbush/internal/team"
)

// AccountStore returns the account store of this database.
func (db *DB) AccountStore() account.Store { return accounts{db} }

// accounts implements account.Store.
type accounts struct{ *DB }

// accountErr is wrapErr with the errors of package account.
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
	json_build_object('Name', a.family_name, 'Phone', a.family_phone) AS family,
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

// lockAccounts locks the table, so that changes that depend on all accounts run one after the
// other.
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
		if !a.Active {
			row["family_name"], row["family_phone"] = "", ""
		}
		return s.update(ctx, "accounts", row)
	})
	return accountErr(err, "update account")
}

func (s accounts) SetFamily(ctx context.Context, id account.ID, f account.Family) error {
	err := s.update(ctx, "accounts", args{"id": id, "family_name": f.Name, "family_phone": f.Phone})
	return accountErr(err, "set family contact")
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
			UPDATE accounts AS a SET password_hash = @hash WHERE id = @id
			RETURNING`+accountColumns, args{"id": l.Account, "hash": hash})
		return err
	})
	return a, accountErr(err, "set password by link")
}

// ImportPeople adds several accounts, with the record of each and the link that invites them,
// all or none. The three lists are parallel. It returns account.ErrEmailTaken if an address is
// in use.
func (db *DB) ImportPeople(
	ctx context.Context, people []account.Account, records []team.Qualification, links []account.Link,
) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		for i, a := range people {
			made, err := db.insertAccount(ctx, a)
			if err != nil {
				return err
			}
			l := links[i]
			l.Target = account.InvitationTarget(made.ID)
			if err := db.insertLink(ctx, l); err != nil {
				return err
			}
			if err := db.insertRecord(ctx, made.ID, records[i]); err != nil {
				return err
			}
		}
		return nil
	})
	return accountErr(err, "bring people")
}

// insertRecord stores the record of a new account.
func (db *DB) insertRecord(ctx context.Context, of ref.Account, q team.Qualification) error {
	for _, s := range q.Approvals {
		if err := db.AddApproval(ctx, of, s); err != nil {
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

func (s accounts) AddSignIn(ctx context.Context, in account.SignIn) error {
	row := args{
		"id": in.ID, "account_id": in.Account, "began": in.Began, "last_seen": in.Began, "device": in.Device,
		"network": in.Network, "second": in.Second,
	}
	err := s.inTx(ctx, func(ctx context.Context) error {
		err := s.exec(ctx, `DELETE FROM sign_ins WHERE last_seen <= @over`,
			args{"over": in.Began.Add(-account.SignInFor)})
		if err != nil {
			return err
		}
		return s.insert(ctx, "sign_ins", row)
	})
	return accountErr(err, "add sign-in")
}

// sessionRow is a session with the time when its browser was last seen.
type sessionRow struct {
	account.Session
	LastSeen time.Time
}

func (s accounts) SignedInAs(ctx context.Context, id string, now time.Time) (account.Session, error) {
	row, err := one[sessionRow](ctx, s.DB, `
		SELECT`+accountColumns+`,
			i.last_seen,
			i.second,
			t.asked
		FROM sign_ins AS i
		JOIN accounts AS a ON a.id = i.account_id
		LEFT JOIN two_steps AS t ON t.account_id = a.id
		WHERE i.id = @id AND i.last_seen > @over`, args{"id": id, "over": now.Add(-account.SignInFor)})
	if err == nil && now.Sub(row.LastSeen) >= account.SeenEvery {
		err = s.exec(ctx, `UPDATE sign_ins SET last_seen = @now WHERE id = @id`, args{"id": id, "now": now})
	}
	return row.Session, accountErr(err, "load sign-in")
}

func (s accounts) SignIns(ctx context.Context, of account.ID, now time.Time) ([]account.SignIn, error) {
	list, err := many[account.SignIn](ctx, s.DB, `
		SELECT
			id,
			account_id AS account,
			began,
			last_seen,
			device,
			network,
			second
		FROM sign_ins
		WHERE account_id = @of AND last_seen > @over
		ORDER BY last_seen DESC, id`, args{"of": of, "over": now.Add(-account.SignInFor)})
	return list, accountErr(err, "list sign-ins")
}

func (s accounts) EndSignIn(ctx context.Context, of account.ID, id string) error {
	err := s.exec(ctx, `DELETE FROM sign_ins WHERE account_id = @of AND id::text = @id`, args{"of": of, "id": id})
	return accountErr(err, "end sign-in")
}

func (s accounts) EndSignIns(ctx context.Context, of account.ID, but string) error {
	err := s.exec(ctx, `DELETE FROM sign_ins WHERE account_id = @of AND id::text <> @but`, args{"of": of, "but": but})
	return accountErr(err, "end sign-ins")
}

func (s accounts) SecondStepTaken(ctx context.Context, of account.ID, id string) error {
	err := s.exec(ctx, `UPDATE sign_ins SET second = true WHERE account_id = @of AND id::text = @id`,
		args{"of": of, "id": id})
	return accountErr(err, "note second step")
}

func (s accounts) SecondStepGone(ctx context.Context, of account.ID) error {
	err := s.exec(ctx, `UPDATE sign_ins SET second = false WHERE account_id = @of`, args{"of": of})
	return accountErr(err, "take second step away")
}

// loadTwoStep returns the zero TwoStep if nothing is stored.
func (s accounts) loadTwoStep(ctx context.Context, of account.ID, lock string) (account.TwoStep, error) {
	t, err := one[account.TwoStep](ctx, s.DB, `
		SELECT
			key,
			since,
			last_step,
			wrong,
			until,
			recovery
		FROM two_steps
		WHERE account_id = @of `+lock, args{"of": of})
	if errors.Is(err, pgx.ErrNoRows) {
		err = nil
	}
	return t, err
}

func (s accounts) TwoStep(ctx context.Context, of account.ID) (account.TwoStep, error) {
	t, err := s.loadTwoStep(ctx, of, "")
	return t, accountErr(err, "load second step")
}

func (s accounts) ChangeTwoStep(ctx context.Context, of account.ID, change func(*account.TwoStep)) error {
	err := s.inTx(ctx, func(ctx context.Context) error {
		err := s.exec(ctx, `INSERT INTO two_steps (account_id) VALUES (@of) ON CONFLICT DO NOTHING`, args{"of": of})
		if err != nil {
			return err
		}
		t, err := s.loadTwoStep(ctx, of, "FOR UPDATE")
		if err != nil {
			return err
		}
		change(&t)
		return s.upsert(ctx, "two_steps", "account_id", args{
			"account_id": of, "key": t.Key, "since": t.Since, "last_step": t.LastStep, "wrong": t.Wrong,
			"until":    t.Until,
			"recovery": append([]account.Hash{}, t.Recovery...), // the column holds no null
		})
	})
	return accountErr(err, "change second step")
}

func (s accounts) TwoSteps(ctx context.Context) (map[account.ID]bool, error) {
	list, err := values[account.ID](ctx, s.DB, `
		SELECT account_id FROM two_steps WHERE key IS NOT NULL
		UNION
		SELECT account_id FROM passkeys`, nil)
	has := map[account.ID]bool{}
	for _, id := range list {
		has[id] = true
	}
	return has, accountErr(err, "list second steps")
}

func (s accounts) AskTwoStep(ctx context.Context, of account.ID, now time.Time) (time.Time, error) {
	asked, err := value[time.Time](ctx, s.DB, `
		INSERT INTO two_steps (account_id, asked) VALUES (@of, @now)
		ON CONFLICT (account_id) DO UPDATE SET asked = coalesce(two_steps.asked, @now)
		RETURNING asked`, args{"of": of, "now": now})
	return asked, accountErr(err, "ask for a second step")
}

func (s accounts) AddPasskey(ctx context.Context, p account.Passkey) error {
	return accountErr(s.insert(ctx, "passkeys", args{
		"account_id": p.Account, "handle": p.Handle, "name": p.Name, "credential": p.Public, "made": p.Made,
	}), "add passkey")
}

func (s accounts) Passkeys(ctx context.Context, of account.ID) ([]account.Passkey, error) {
	list, err := many[account.Passkey](ctx, s.DB, `
		SELECT
			id,
			account_id AS account,
			handle,
			name,
			credential AS public,
			made,
			last_used
		FROM passkeys
		WHERE account_id = @of
		ORDER BY id`, args{"of": of})
	return list, accountErr(err, "list passkeys")
}

func (s accounts) PasskeyUsed(ctx context.Context, p account.Passkey) error {
	err := s.execOne(ctx, `UPDATE passkeys SET credential = @public, last_used = @used WHERE id = @id`,
		args{"id": p.ID, "public": p.Public, "used": p.LastUsed})
	return accountErr(err, "note use of passkey")
}

func (s accounts) RemovePasskey(ctx context.Context, of account.ID, id int64) error {
	err := s.execOne(ctx, `DELETE FROM passkeys WHERE account_id = @of AND id = @id`, args{"of": of, "id": id})
	return accountErr(err, "remove passkey")
}
