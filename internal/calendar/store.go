package calendar

import (
	"context"
	"time"
)

// Store stores the last version of each entry that was sent.
type Store interface {
	// Number sets the Sequence and Stamp of events: those of the last version if the digest is
	// the same, else the next number and now. The first version is 0. Concurrent calls with
	// different versions get different numbers.
	Number(ctx context.Context, now time.Time, events ...Event) ([]Event, error)
}
