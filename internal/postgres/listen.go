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

// Changes tells many listeners which hikes changed, from one connection that LISTENs. The
// database announces each change itself, whoever makes it.
type Changes struct {
	db  *DB
	log *slog.Logger

	mu        sync.Mutex
	listeners map[chan struct{}]struct{}
	mark      uint64              // grows with each change heard
	lost      uint64              // the mark at which anything may have changed
	hearing   bool                // false: nothing is heard, so everything may have changed
	changed   map[ref.Hike]uint64 // the mark of each hike's latest change
}

// hubs are all Changes of a database: what is written here is told without going round.
type hubs struct {
	mu  sync.Mutex
	all []*Changes
}

// NewChanges returns a hub; Run keeps it fed.
func (db *DB) NewChanges(log *slog.Logger) *Changes {
	c := &Changes{db: db, log: log, listeners: map[chan struct{}]struct{}{}, changed: map[ref.Hike]uint64{}}
	db.hubs.mu.Lock()
	defer db.hubs.mu.Unlock()
	db.hubs.all = append(db.hubs.all, c)
	return c
}

// touch tells of a change that this program has just committed, so that whoever made it
// sees it with the next page, however long the announcement takes.
func (db *DB) touch(id ref.Hike) {
	db.hubs.mu.Lock()
	defer db.hubs.mu.Unlock()
	for _, c := range db.hubs.all {
		c.heard(id)
	}
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

// Since returns the mark that stands now and the hikes that changed after the given one.
// All says that any may have changed: nothing was heard for a time. Ask before loading;
// what changes while one loads is told the next time.
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

// heard notes a change of one hike, or of any where the number is 0.
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

// connected notes that changes are heard from now on, or no longer. Either way any hike
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
	// House judgement: how long to wait before listening again after the connection broke.
	listenAgain = time.Second
	// House judgement: a line that has been quiet so long is asked whether it still stands;
	// one that has died without a word would keep the board in the past.
	quietLine = 10 * time.Second
)

// Run listens until the context ends. After a broken connection everybody is signalled,
// since a change may have gone unheard.
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
	// A listening connection never goes back to the pool.
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

// await waits for one announcement, or until the line has been quiet and was found alive.
func (c *Changes) await(ctx context.Context, raw *pgx.Conn) error {
	quiet, cancel := context.WithTimeout(ctx, quietLine)
	defer cancel()
	n, err := raw.WaitForNotification(quiet)
	if err == nil {
		id, _ := strconv.ParseInt(n.Payload, 10, 64) // what is no number may be any hike
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
