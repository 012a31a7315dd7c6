package postgres

import (
	"context"
	"log/slog"
	"sync"
	"time"
)

// Changes tells many listeners that some roll changed, from one connection that LISTENs.
type Changes struct {
	db  *DB
	log *slog.Logger

	mu        sync.Mutex
	listeners map[chan struct{}]struct{}
}

// NewChanges returns a hub; Run keeps it fed.
func (db *DB) NewChanges(log *slog.Logger) *Changes {
	return &Changes{db: db, log: log, listeners: map[chan struct{}]struct{}{}}
}

// Subscribe returns a channel that holds at most one pending signal, and what ends it.
func (c *Changes) Subscribe() (<-chan struct{}, func()) {
	ch := make(chan struct{}, 1)
	c.mu.Lock()
	defer c.mu.Unlock()
	c.listeners[ch] = struct{}{}
	return ch, func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		delete(c.listeners, ch)
	}
}

func (c *Changes) signal() {
	c.mu.Lock()
	defer c.mu.Unlock()
	for ch := range c.listeners {
		select {
		case ch <- struct{}{}:
		default: // one is pending already and will show the same state
		}
	}
}

// House judgement: how long to wait before listening again after the connection broke.
const listenAgain = time.Second

// Run listens until the context ends. After a broken connection everybody is signalled,
// since a change may have gone unheard.
func (c *Changes) Run(ctx context.Context) {
	for ctx.Err() == nil {
		if err := c.listen(ctx); err != nil && ctx.Err() == nil {
			c.log.Warn("listening for roll changes broke, trying again", "err", err)
			select {
			case <-ctx.Done():
			case <-time.After(listenAgain):
			}
		}
	}
}

func (c *Changes) listen(ctx context.Context) error {
	conn, err := c.db.pool.Acquire(ctx)
	if err != nil {
		return err
	}
	// A listening connection never goes back to the pool.
	raw := conn.Hijack()
	defer raw.Close(context.WithoutCancel(ctx))
	if _, err := raw.Exec(ctx, `LISTEN `+rollChannel); err != nil {
		return err
	}
	c.signal()
	for {
		if _, err := raw.WaitForNotification(ctx); err != nil {
			return err
		}
		c.signal()
	}
}
