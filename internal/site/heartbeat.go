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

// heartbeat calls a monitor on another machine while the watch is kept. The monitor alerts
// somebody when the calls stop: a dead program cannot report itself.
type heartbeat struct {
	url    string
	client *http.Client
	log    *slog.Logger

	mu   sync.Mutex
	last time.Time // of the last call
	busy bool
}

// Our judgment: monitors count in minutes, and a call that takes ten seconds has failed.
const (
	heartbeatEvery    = time.Minute
	heartbeatPatience = 10 * time.Second
)

// newHeartbeat returns nil if there is no address.
func newHeartbeat(address string, log *slog.Logger) (*heartbeat, error) {
	if address == "" {
		return nil, nil
	}
	u, err := url.Parse(address)
	if err != nil || u.Host == "" || u.Scheme != "https" && u.Scheme != "http" {
		return nil, fmt.Errorf("--heartbeat %q: no address that begins with https:// or http://", address)
	}
	return &heartbeat{url: address, client: &http.Client{Timeout: heartbeatPatience}, log: log}, nil
}

// due reports whether it is time for a call. The caller must then make it.
func (h *heartbeat) due(now time.Time) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.busy || now.Sub(h.last) < heartbeatEvery {
		return false
	}
	h.busy, h.last = true, now
	return true
}

// call calls the monitor. Failures are only logged: they must not delay the watch.
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

// sendHeartbeat calls the monitor if the pass carried out everything that was due.
func (w *watcher) sendHeartbeat(ctx context.Context) error {
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
	w.beat.busy, w.beat.last = false, time.Time{} // the next pass may succeed
	return err
}
