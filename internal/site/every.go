package site

import (
	"context"
	"log/slog"
	"time"
)

// job is what a site does over and over. Any number of instances may run the same job
// against one database.
type job struct {
	name string // for the log, as "deliver messages"
	each time.Duration
	do   func(context.Context) error
	// wake ends the wait early; nil for a job that goes by the clock alone.
	wake <-chan struct{}
	// rest is the shortest wait, so that many wakes in a row make one call.
	rest time.Duration
}

// every calls the job now and then each time its interval has passed, until the context
// ends. An error is logged and the job goes on. All loops of a site are this one.
func every(ctx context.Context, log *slog.Logger, j job) {
	for ctx.Err() == nil {
		if err := j.do(ctx); err != nil && ctx.Err() == nil {
			log.Error(j.name, "err", err)
		}
		wait(ctx, j.rest, nil)
		wait(ctx, j.each, j.wake)
	}
}

// wait returns when the time is over, something arrives, or the context ends.
func wait(ctx context.Context, d time.Duration, wake <-chan struct{}) {
	select {
	case <-ctx.Done():
	case <-wake:
	case <-time.After(d):
	}
}
