package account

import (
	"context"
	"errors"
	"time"
)

// Passkey is the public half of a key that a phone, a computer or a security key holds for
// one account. The device uses it after it has checked its owner by fingerprint, face or PIN,
// so it replaces both the password and the second step.
type Passkey struct {
	ID       int64
	Account  ID
	Handle   []byte // the credential id of WebAuthn
	Name     string // given by the owner
	Public   []byte // the credential as JSON of the WebAuthn library
	Made     time.Time
	LastUsed time.Time // zero: never
}

// ErrPasskeyName is returned for a passkey without a valid name, worded for its owner.
var ErrPasskeyName = errors.New("say where this passkey is kept, in at most 100 characters")

// Check returns what is wrong with a new passkey, worded for its owner.
func (p Passkey) Check() error {
	if checkName(p.Name) != nil {
		return ErrPasskeyName
	}
	return nil
}

// PasskeyStore stores passkeys. Every method is one transaction.
type PasskeyStore interface {
	// AddPasskey stores a new passkey.
	AddPasskey(ctx context.Context, p Passkey) error

	// Passkeys returns the passkeys of the account, oldest first.
	Passkeys(ctx context.Context, of ID) ([]Passkey, error)

	// PasskeyUsed stores Public and LastUsed after the passkey signed.
	PasskeyUsed(ctx context.Context, p Passkey) error

	// RemovePasskey deletes one passkey of the account, or returns ErrNotFound.
	RemovePasskey(ctx context.Context, of ID, id int64) error
}
