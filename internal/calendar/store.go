package calendar

import (
	"context"
	"time"
)

// Store remembers what was told of each entry last.
type Store interface {
	// Number returns the events with their Sequence and Stamp set: those of the last time
	// where the digest is the same, else one more than it, at now. An entry that was never
	// told begins at 0. Of two at once that tell different things, each gets its own number.
	Number(ctx context.Context, now time.Time, events ...Event) ([]Event, error)
}
