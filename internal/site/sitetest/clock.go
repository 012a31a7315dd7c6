package sitetest

import (
	"sync"
	"time"
)

// Clock stands still until a test sets it. Several sites may share one.
type Clock struct {
	mu  sync.Mutex
	now time.Time
}

// NewClock returns a clock that shows the time.
func NewClock(at time.Time) *Clock { return &Clock{now: at} }

// Now is the time that the clock shows.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

// Set makes the clock show another time.
func (c *Clock) Set(t time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = t
}

// Pass moves the clock on.
func (c *Clock) Pass(d time.Duration) { c.Set(c.Now().Add(d)) }
