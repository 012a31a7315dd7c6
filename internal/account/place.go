package account

import (
	"context"
	"time"
)

// PlaceStore renews the private links of participants, who have no account.
type PlaceStore interface {
	// PlacesOf returns the ids of the sign-ups with an address, as CleanEmail returns it, on
	// hikes that start after the instant, soonest first.
	PlacesOf(ctx context.Context, email string, after time.Time) ([]string, error)

	// RenewPlace replaces every link of the sign-up by a new one; the older ones no longer
	// work. It is ErrNotFound if there is no such sign-up.
	RenewPlace(ctx context.Context, signUp string, h Hash) error
}
