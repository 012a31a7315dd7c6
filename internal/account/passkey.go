package account

import (
	"context"
	"errors"
	"time"
)

// Passkey is a key that a phone, a computer or a token keeps for one account, and uses
// after it has seen who holds it: by a finger, a face or a number. Only the public half is
// here. It stands for the password and for the second step.
type Passkey struct {
	ID       int64
	Account  ID
	Handle   []byte // by which the keeper names it
	Name     string // as its owner calls it
	Public   []byte // JSON, as whoever checks its signatures writes and reads it
	Made     time.Time
	LastUsed time.Time // zero: never
}

// ErrPasskeyName is the refusal of a passkey without a name, in words for its owner.
var ErrPasskeyName = errors.New("say where this passkey is kept, in at most 100 characters")

// Check returns an error that says what is wrong with a new passkey.
func (p Passkey) Check() error {
	if checkName(p.Name) != nil {
		return ErrPasskeyName
	}
	return nil
}

// PasskeyStore keeps passkeys. Every method is one transaction.
type PasskeyStore interface {
	// AddPasskey stores a new one.
	AddPasskey(ctx context.Context, p Passkey) error

	// Passkeys returns the account's own in the order of making.
	Passkeys(ctx context.Context, of ID) ([]Passkey, error)

	// PasskeyUsed stores what changed when a passkey signed, and when that was.
	PasskeyUsed(ctx context.Context, p Passkey) error

	// RemovePasskey removes one of the account's own; ErrNotFound where it has none such.
	RemovePasskey(ctx context.Context, of ID, id int64) error
}
