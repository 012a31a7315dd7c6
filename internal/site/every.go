package site

import (
	"context"
	"log/slog"
	"time"
)

// job is a periodic job. Any number of instances may run the same job on one database.
type job struct {
	name string // for the log, such as "deliver messages"
	each time.Duration
	do   func(context.Context) error
	// wake ends the wait early; may be nil.
	wake <-chan struct{}
	// rest is the shortest wait, so that many wakes in a row cause one call.
	rest time.Duration
}

// every calls the job now and after each interval until ctx ends. It logs errors and goes on.
// All periodic jobs of a site use it.
func every(ctx context.Context, log *slog.Logger, j job) {
	for ctx.Err() == nil {
		if err := j.do(ctx); err != nil && ctx.Err() == nil {
			log.Error(j.name, "err", err)
		}
		wait(ctx, j.rest, nil)
		wait(ctx, j.each, j.wake)
	}
}

// wait returns after d, when wake receives, or when ctx ends.
func wait(ctx context.Context, d time.Duration, wake <-chan struct{}) {
	select {
	case <-ctx.Done():
	case <-wake:
	case <-time.After(d):
	}
}
