package site

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"sync"
	"time"
)

// heartbeat tells a monitor outside of this machine that the watch is kept. The monitor rings
// somebody when it hears nothing: what has died cannot say so itself.
type heartbeat struct {
	url    string
	client *http.Client
	log    *slog.Logger

	mu   sync.Mutex
	last time.Time // of the latest call
	busy bool
}

// House judgement: monitors count in minutes; a call that takes longer than ten seconds
// counts as none.
const (
	heartEvery    = time.Minute
	heartPatience = 10 * time.Second
)

// newHeart returns nil where no monitor is named.
func newHeart(address string, log *slog.Logger) (*heartbeat, error) {
	if address == "" {
		return nil, nil
	}
	u, err := url.Parse(address)
	if err != nil || u.Host == "" || u.Scheme != "https" && u.Scheme != "http" {
		return nil, fmt.Errorf("--heartbeat %q: no address that begins with https:// or http://", address)
	}
	return &heartbeat{url: address, client: &http.Client{Timeout: heartPatience}, log: log}, nil
}

// due reports whether it is time for a call, and takes it on.
func (h *heartbeat) due(now time.Time) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.busy || now.Sub(h.last) < heartEvery {
		return false
	}
	h.busy, h.last = true, now
	return true
}

// call tells the monitor. One that does not answer holds up no watch.
func (h *heartbeat) call(ctx context.Context) {
	defer func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		h.busy = false
	}()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, h.url, nil)
	if err == nil {
		var res *http.Response
		if res, err = h.client.Do(req); err == nil {
			res.Body.Close()
			if res.StatusCode/100 != 2 {
				err = fmt.Errorf("it answers %d", res.StatusCode)
			}
		}
	}
	if err != nil && ctx.Err() == nil {
		h.log.Warn("the outside monitor was not told that the watch is kept", "err", err)
	}
}

// tellOutside calls the monitor after a pass that left nothing undone, and only then.
func (w *watcher) tellOutside(ctx context.Context) error {
	now := w.clock()
	if w.beat == nil || !w.beat.due(now) {
		return nil
	}
	pulse, err := w.db.Pulse(ctx, now)
	if err == nil && !pulse.Asleep(now) {
		go w.beat.call(ctx)
		return nil
	}
	w.beat.mu.Lock()
	defer w.beat.mu.Unlock()
	w.beat.busy, w.beat.last = false, time.Time{} // the next pass may have done it all
	return err
}
