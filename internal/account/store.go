package account

import (
	"context"
	"errors"
	"time"
)

// Errors of a Store.
var (
	ErrNotFound        = errors.New("no such account or link")
	ErrEmailTaken      = errors.New("another account has this e-mail address")
	ErrNotFirst        = errors.New("there is an account already: ask a coordinator for an invitation")
	ErrLastCoordinator = errors.New("this is the last coordinator: name another one first")
)

// Store stores accounts and links. Errors that a method does not name are failures of the
// store itself. Every method is one transaction.
type Store interface {
	DayStore
	SignInStore
	PlaceStore
	TwoStepStore
	PasskeyStore
	FeedStore

	// AccountByEmail returns the account with an address, as CleanEmail returns it, or
	// ErrNotFound. The account may be inactive.
	AccountByEmail(ctx context.Context, email string) (Account, error)

	// AccountByID returns the account or ErrNotFound. The account may be inactive.
	AccountByID(ctx context.Context, id ID) (Account, error)

	// Accounts returns all accounts, inactive ones too, by name.
	Accounts(ctx context.Context) ([]Account, error)

	// CountAccounts returns the number of accounts, inactive ones too.
	CountAccounts(ctx context.Context) (int, error)

	// CreateAccount stores a new account and returns it with its ID; a.ID is ignored. It is
	// ErrEmailTaken if another account has the address. Concurrent calls are safe.
	CreateAccount(ctx context.Context, a Account) (Account, error)

	// CreateFirst is CreateAccount with the link for the first coordinator, which it marks as
	// used at now. It is ErrNotFound, ErrLinkUsed or ErrLinkExpired for the link, and
	// ErrNotFirst if there is an account; then nothing changes. Of two concurrent calls one
	// succeeds.
	CreateFirst(ctx context.Context, link Hash, a Account, now time.Time) (Account, error)

	// UpdateAccount stores name, e-mail, phone, roles, active and units of the account, not
	// its password. An account that is not active loses its family contact. It is ErrNotFound,
	// ErrEmailTaken, or ErrLastCoordinator if KeepsCoordinator refuses. Concurrent calls are
	// safe.
	UpdateAccount(ctx context.Context, a Account) error

	// SetFamily stores whom on-call phones for the person. It is ErrNotFound if there is no such
	// account.
	SetFamily(ctx context.Context, id ID, f Family) error

	// SetPassword stores a new password hash. It is ErrNotFound if there is no such account.
	SetPassword(ctx context.Context, id ID, hash string) error

	// SetPasswordByLink is SetPassword with an invitation or a link for a new password, which
	// it marks as used at now. It returns the account. It is ErrNotFound, ErrLinkUsed or
	// ErrLinkExpired for the link; then nothing changes. Of two concurrent calls one succeeds.
	SetPasswordByLink(ctx context.Context, link Hash, hash string, now time.Time) (Account, error)

	// AddLink stores a link and removes older ones to the same target: the last one sent
	// is the one that works.
	AddLink(ctx context.Context, l Link) error

	// LinkByHash returns the link or ErrNotFound. The caller must call Link.Open.
	LinkByHash(ctx context.Context, h Hash) (Link, error)

	// RemoveLinks removes every link to the target. It is no error if there are none.
	RemoveLinks(ctx context.Context, t Target) error
}

// KeepsCoordinator returns ErrLastCoordinator if the change of one account would leave no
// active coordinator. All are the accounts before the change.
func KeepsCoordinator(all []Account, changed Account) error {
	before, after := false, coordinates(changed)
	for _, a := range all {
		before = before || coordinates(a)
		after = after || (a.ID != changed.ID && coordinates(a))
	}
	if before && !after {
		return ErrLastCoordinator
	}
	return nil
}

// coordinates reports whether the account can act as a coordinator.
func coordinates(a Account) bool { return a.Active && a.Has(Coordinator) }
