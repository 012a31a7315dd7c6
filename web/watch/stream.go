package watch

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/web/watch/view"
)

const (
	// Our judgment: the clocks on the board move even if nothing happens.
	boardEvery = 15 * time.Second
	// Our judgment: changes within half a second are drawn together.
	boardRest = 500 * time.Millisecond
	// Our judgment: board-live.js says that the line is lost after 12 seconds of silence, so
	// two words may be late.
	wordEvery = 5 * time.Second
)

// boardLine is the live line of a page that shows a drawing of the board.
func (s *Handlers) boardLine(ctx context.Context, d *drawnBoard) view.LiveText {
	return view.LiveText{URL: "/board/stream", Drawn: d.key, Clock: format.ClockSeconds(d.at, s.ZoneIn(ctx))}
}

// stream sends what next returns, at once and after each change of a roll, until the browser
// disconnects. An empty text is not sent. It sends the clock after each and every few seconds,
// so that the browser can tell a quiet server from a dead one.
func (s *Handlers) stream(w http.ResponseWriter, r *http.Request, clock func() string,
	next func() (id, text string, err error)) error {
	out := &streamWriter{w: w, clock: clock}
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("X-Accel-Buffering", "no") // nginx would hold the clock back
	signal, end := s.Changes.Subscribe()
	defer end()
	tick := time.NewTicker(boardEvery)
	defer tick.Stop()
	for {
		id, text, err := next()
		if err == nil {
			err = out.send(id, text)
		}
		if err != nil {
			s.Log.Debug("stream ended", "path", r.URL.Path, "err", err)
			return nil // the browser is gone or will reconnect
		}
		if !sleep(r.Context(), boardRest) || !out.await(r.Context(), signal, tick.C) {
			return nil
		}
	}
}

// streamWriter writes one stream of server-sent events.
type streamWriter struct {
	w     http.ResponseWriter
	clock func() string
}

// send sends a drawing, if there is one, and the clock.
func (o *streamWriter) send(id, text string) error {
	if text != "" {
		_, err := fmt.Fprintf(o.w, "id: %s\ndata: %s\n\n", id, strings.ReplaceAll(text, "\n", "\ndata: "))
		if err != nil {
			return err
		}
	}
	if _, err := fmt.Fprintf(o.w, "event: clock\ndata: %s\n\n", o.clock()); err != nil {
		return err
	}
	return http.NewResponseController(o.w).Flush()
}

// await waits for a change or a tick, and sends the clock meanwhile. It reports false if the
// browser is gone.
func (o *streamWriter) await(ctx context.Context, signal <-chan struct{}, tick <-chan time.Time) bool {
	word := time.NewTicker(wordEvery)
	defer word.Stop()
	for {
		select {
		case <-ctx.Done():
			return false
		case <-signal:
			return true
		case <-tick:
			return true
		case <-word.C:
			if o.send("", "") != nil {
				return false
			}
		}
	}
}
