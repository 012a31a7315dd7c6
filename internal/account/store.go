package account

import (
	"context"
	"errors"
	"time"
)

// Errors of a Store, and of the rules that it keeps.
var (
	ErrNotFound        = errors.New("no such account or link")
	ErrEmailTaken      = errors.New("another account has this e-mail address")
	ErrNotFirst        = errors.New("there is an account already: ask a coordinator for an invitation")
	ErrLastCoordinator = errors.New("this is the last coordinator: name another one first")
)

// Store keeps accounts and links. Errors other than those named are failures of the
// store itself. Every method is one transaction.
type Store interface {
	DayStore
	SignInStore
	PlaceStore
	TwoStepStore
	PasskeyStore
	FeedStore

	// AccountByEmail returns the account, active or not, whose address is email as
	// CleanEmail leaves it, else ErrNotFound.
	AccountByEmail(ctx context.Context, email string) (Account, error)

	// AccountByID returns the account, active or not, else ErrNotFound.
	AccountByID(ctx context.Context, id ID) (Account, error)

	// Accounts returns all accounts, active or not, by name.
	Accounts(ctx context.Context) ([]Account, error)

	// CountAccounts returns how many accounts there are, active or not.
	CountAccounts(ctx context.Context) (int, error)

	// CreateAccount stores a new account and returns it with its ID; the ID given is
	// not looked at. A second account with the same address is ErrEmailTaken, also when
	// two are made at once.
	CreateAccount(ctx context.Context, a Account) (Account, error)

	// CreateFirst is CreateAccount for the holder of the link for the first
	// coordinator: it also marks the link used at now. It is ErrNotFound, ErrLinkUsed or
	// ErrLinkExpired by the link, and ErrNotFirst where there is an account already;
	// then nothing has changed. Of two at once one succeeds.
	CreateFirst(ctx context.Context, link Hash, a Account, now time.Time) (Account, error)

	// UpdateAccount stores name, e-mail, roles, active and units of the account, not
	// its password. It is ErrNotFound, ErrEmailTaken, or ErrLastCoordinator where
	// KeepsCoordinator refuses, also when two are changed at once.
	UpdateAccount(ctx context.Context, a Account) error

	// SetPassword stores a new password hash. It is ErrNotFound without the account.
	SetPassword(ctx context.Context, id ID, hash string) error

	// SetPasswordByLink is SetPassword for the holder of an invitation or a link for a
	// new password: it also marks the link used at now and returns the account that the
	// link is about. It is ErrNotFound, ErrLinkUsed or ErrLinkExpired by the link; then
	// nothing has changed. Of two at once one succeeds.
	SetPasswordByLink(ctx context.Context, link Hash, hash string, now time.Time) (Account, error)

	// AddLink stores a link and removes older ones to the same target: the last one sent
	// is the one that works.
	AddLink(ctx context.Context, l Link) error

	// LinkByHash returns the link, open or not, else ErrNotFound. The caller asks
	// Link.Open.
	LinkByHash(ctx context.Context, h Hash) (Link, error)

	// RemoveLinks removes every link to the target. It is no error if there are none.
	RemoveLinks(ctx context.Context, t Target) error
}

// KeepsCoordinator returns ErrLastCoordinator where the change of one account would
// leave nobody who can sign in as a coordinator. All are the accounts before the change.
func KeepsCoordinator(all []Account, changed Account) error {
	before, after := false, runs(changed)
	for _, a := range all {
		before = before || runs(a)
		after = after || (a.ID != changed.ID && runs(a))
	}
	if before && !after {
		return ErrLastCoordinator
	}
	return nil
}

func runs(a Account) bool { return a.Active && a.Has(Coordinator) }
