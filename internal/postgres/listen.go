package postgres

import (
	"context"
	"errors"
	"log/slog"
	"strconv"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/ref"
)

// Changes tells many listeners which hikes changed. It uses one connection that LISTENs.
// Triggers in the database announce each change, whoever makes it.
type Changes struct {
	db  *DB
	log *slog.Logger

	mu        sync.Mutex
	listeners map[chan struct{}]struct{}
	mark      uint64              // grows with each change that is heard
	lost      uint64              // the mark at which anything may have changed
	hearing   bool                // whether changes are heard; if not, any hike may have changed
	changed   map[ref.Hike]uint64 // the mark of each hike's latest change
}

// hubs are all Changes of a database. Changes made by this program are passed to them directly.
type hubs struct {
	mu  sync.Mutex
	all []*Changes
}

// NewChanges returns a Changes that hears nothing until Run is called.
func (db *DB) NewChanges(log *slog.Logger) *Changes {
	c := &Changes{db: db, log: log, listeners: map[chan struct{}]struct{}{}, changed: map[ref.Hike]uint64{}}
	db.hubs.mu.Lock()
	defer db.hubs.mu.Unlock()
	db.hubs.all = append(db.hubs.all, c)
	return c
}

// touch reports a change that this program just committed, so that whoever made it sees it on
// the next page, however long the notification takes.
func (db *DB) touch(id ref.Hike) {
	db.hubs.mu.Lock()
	defer db.hubs.mu.Unlock()
	for _, c := range db.hubs.all {
		c.heard(id)
	}
}

// Subscribe returns a channel that holds at most one pending signal, and a function that ends
// the subscription.
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

// Since returns the current mark and the hikes that changed after the given one. All means that
// any hike may have changed, because nothing was heard for a time. Call it before loading: what
// changes meanwhile is reported the next time.
func (c *Changes) Since(mark uint64) (now uint64, ids []ref.Hike, all bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.hearing || mark < c.lost {
		return c.mark, nil, true
	}
	if mark == c.mark {
		return c.mark, nil, false
	}
	for id, at := range c.changed {
		if at > mark {
			ids = append(ids, id)
		}
	}
	return c.mark, ids, false
}

// heard records a change of one hike, or of any hike if the number is 0.
func (c *Changes) heard(id ref.Hike) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.mark++
	c.changed[id] = c.mark
	if id == 0 {
		c.lose()
	}
	c.signal()
}

// connected records that changes are heard from now on, or no longer. In both cases any hike
// may have changed.
func (c *Changes) connected(is bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.mark++
	c.hearing = is
	c.lose()
	c.signal()
}

func (c *Changes) lose() {
	c.lost = c.mark
	clear(c.changed)
}

func (c *Changes) signal() {
	for ch := range c.listeners {
		select {
		case ch <- struct{}{}:
		default: // one is pending already and will show the same state
		}
	}
}

const (
	// Our judgment: how long to wait before listening again after the connection broke.
	listenAgain = time.Second
	// Our judgment: a connection that was quiet for so long is pinged. If it died unnoticed,
	// the board would show the past.
	quietLine = 10 * time.Second
)

// Run listens until the context ends. When the connection breaks it signals all listeners,
// because a change may have been missed.
func (c *Changes) Run(ctx context.Context) {
	for ctx.Err() == nil {
		if err := c.listen(ctx); err != nil && ctx.Err() == nil {
			c.log.Warn("listening for changes broke, trying again", "err", err)
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
	// A listening connection is never returned to the pool.
	raw := conn.Hijack()
	defer raw.Close(context.WithoutCancel(ctx))
	if _, err := raw.Exec(ctx, `LISTEN `+rollChannel); err != nil {
		return err
	}
	c.connected(true)
	defer c.connected(false)
	for {
		if err := c.await(ctx, raw); err != nil {
			return err
		}
	}
}

// await waits for one notification, or until the connection was quiet and answered a ping.
func (c *Changes) await(ctx context.Context, raw *pgx.Conn) error {
	quiet, cancel := context.WithTimeout(ctx, quietLine)
	defer cancel()
	n, err := raw.WaitForNotification(quiet)
	if err == nil {
		id, _ := strconv.ParseInt(n.Payload, 10, 64) // anything but a number means any hike
		c.heard(ref.Hike(id))
		return nil
	}
	if ctx.Err() != nil || !errors.Is(quiet.Err(), context.DeadlineExceeded) || raw.IsClosed() {
		return err
	}
	alive, end := context.WithTimeout(ctx, quietLine)
	defer end()
	return raw.Ping(alive)
}
