package web

import (
	"context"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"saltbush/internal/watch"
	"saltbush/web/view"
)

// sharedBoard is the board as it was last drawn, for everyone who looks at it: it is drawn
// once for each change, however many watch.
type sharedBoard struct {
	mu   sync.Mutex
	last []*drawnBoard // the newest last
	// changedHere says that somebody changed a watch by this instance's pages.
	changedHere atomic.Bool

	maps keptMaps
}

// drawnBoard is one drawing of the board. It is not changed after it was made.
type drawnBoard struct {
	key     string    // names the drawing, so that a browser can say which one it shows
	version uint64    // of the cases that it was drawn from
	at      time.Time // by the site's clock
	made    time.Time // when it was begun, by the machine's
	cases   []watch.Case
	onCall  []view.Line
	asleep  string
	head    string
	rows    []drawnRow
	empty   string // what stands there instead of rows
}

type drawnRow struct{ id, html string }

const (
	// House judgement: clocks on the board show minutes, so a drawing of the same cases does
	// for this long.
	boardKeeps = 5 * time.Second
	// House judgement: a browser that shows one of so many drawings before is sent what
	// differs, an older one everything.
	boardsKept = 16
)

// recent finds a drawing by its key, nil where it is too old or another instance's.
func (b *sharedBoard) recent(key string) *drawnBoard {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, d := range b.last {
		if d.key == key {
			return d
		}
	}
	return nil
}

// House judgement: on a busy day each page would draw anew for a record that came in while
// it was asked for; its stream brings that at once.
const boardFresh = 150 * time.Millisecond

// boardNow returns the board as it stands, or as it stood a blink ago. Whoever has just
// answered an alarm here sees that in any case.
func (s *Server) boardNow(ctx context.Context) (*drawnBoard, error) {
	s.board.mu.Lock()
	defer s.board.mu.Unlock()
	newest := s.board.newest()
	if newest != nil && time.Since(newest.made) < boardFresh && !s.board.changedHere.Swap(false) && newest.asleep == s.asleep(ctx) {
		return newest, nil
	}
	return s.refreshBoard(ctx)
}

// boardSoon is boardNow for those who can wait a moment, so that however many are woken by
// a change share one drawing, and drawings come no closer than so.
func (s *Server) boardSoon(ctx context.Context, apart time.Duration) (*drawnBoard, error) {
	asked := time.Now()
	for {
		s.board.mu.Lock()
		newest := s.board.newest()
		wait := time.Duration(0)
		if newest != nil {
			wait = apart - time.Since(newest.made)
		}
		switch {
		case newest != nil && newest.made.After(asked):
			s.board.mu.Unlock()
			return newest, nil
		case wait <= 0:
			defer s.board.mu.Unlock()
			return s.refreshBoard(ctx)
		}
		s.board.mu.Unlock()
		if !rest(ctx, wait) {
			return nil, ctx.Err()
		}
	}
}

// newest and what follows are for holders of the lock.
func (b *sharedBoard) newest() *drawnBoard {
	if len(b.last) == 0 {
		return nil
	}
	return b.last[len(b.last)-1]
}

func (s *Server) refreshBoard(ctx context.Context) (*drawnBoard, error) {
	now, begun := s.Now(), time.Now()
	cases, err := s.Standing.Cases(ctx, now)
	if err != nil {
		return nil, err
	}
	asleep := s.asleep(ctx)
	newest := s.board.newest()
	if newest != nil && newest.version == cases.Version && newest.asleep == asleep && now.Sub(newest.at) < boardKeeps {
		return newest, nil
	}
	d, err := s.drawBoard(ctx, cases, asleep, now)
	if err == nil {
		d.made = begun
		s.board.last = append(s.board.last, d)
		s.board.last = s.board.last[max(0, len(s.board.last)-boardsKept):]
	}
	return d, err
}

func (s *Server) drawBoard(ctx context.Context, cases watch.Cases, asleep string, now time.Time) (d *drawnBoard, err error) {
	// A browser that goes away does not keep the others from a drawing.
	ctx = context.WithoutCancel(ctx)
	d = &drawnBoard{key: strconv.FormatInt(time.Now().UnixNano(), 36), version: cases.Version, at: now, asleep: asleep, cases: cases.List, onCall: onCallLines(cases.List)}
	zone := s.zoneIn(ctx)
	head := view.BoardHeadText{Asleep: asleep, AsOf: now.In(zone).Format("Mon 2 Jan, 15:04:05"), Looked: s.looked(ctx, zone)}
	if d.head, err = drawn(ctx, view.BoardHead(head)); err != nil {
		return d, err
	}
	for _, row := range boardParties(cases.List, now) {
		html, err := drawn(ctx, view.BoardParty(row))
		if err != nil {
			return d, err
		}
		d.rows = append(d.rows, drawnRow{row.ID, html})
	}
	if len(d.rows) == 0 {
		d.empty, err = drawn(ctx, view.EmptyState(nobodyOut()))
	}
	return d, err
}

func nobodyOut() view.EmptyText {
	return view.EmptyText{Title: "Nobody is out", Text: "No party has left, and none should have left by now."}
}

// whole is everything that stands inside of the board's place in the page.
func (d *drawnBoard) whole() string {
	var b strings.Builder
	b.WriteString(`<div id="board-head">` + d.head + `</div>`)
	b.WriteString(d.empty)
	if len(d.rows) > 0 {
		b.WriteString(`<ol class="Board">`)
		for _, r := range d.rows {
			b.WriteString(r.html)
		}
		b.WriteString(`</ol>`)
	}
	return b.String()
}

// since is what a browser needs that shows another drawing: only the rows that differ,
// where they stand in the same order, else everything.
func (d *drawnBoard) since(before *drawnBoard) string {
	if before == nil || !d.sameOrder(before) {
		return d.whole()
	}
	var b strings.Builder
	b.WriteString(`<div id="board-head" hx-swap-oob="innerMorph">` + d.head + `</div>`)
	for i, r := range d.rows {
		if r.html != before.rows[i].html {
			id := ` id="` + r.id + `"`
			b.WriteString(strings.Replace(r.html, id, id+` hx-swap-oob="outerMorph"`, 1))
		}
	}
	return b.String()
}

func (d *drawnBoard) sameOrder(before *drawnBoard) bool {
	if len(d.rows) != len(before.rows) || len(d.rows) == 0 {
		return false
	}
	for i, r := range d.rows {
		if before.rows[i].id != r.id {
			return false
		}
	}
	return true
}
