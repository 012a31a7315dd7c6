package account

import (
	"context"
	"time"
)

// PlaceStore renews the private links of participants, who have no account.
type PlaceStore interface {
	// PlacesOf returns the numbers of the sign-ups with that address, as CleanEmail leaves
	// it, on hikes that start after the instant; the soonest first.
	PlacesOf(ctx context.Context, email string, after time.Time) ([]string, error)

	// RenewPlace puts the hash of a new link in the place of every older one of that
	// sign-up: none of them opens it any more. It is ErrNotFound where there is none such.
	RenewPlace(ctx context.Context, signUp string, h Hash) error
}
