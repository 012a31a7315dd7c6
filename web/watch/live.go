package watch

import (
	"context"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/watch"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

// sharedBoard holds the last drawings of the board. It is drawn once for each change, however
// many people look at it.
type sharedBoard struct {
	mu   sync.Mutex
	last []*drawnBoard // the newest last
	// drawing is held while the board is drawn.
	drawing sync.Mutex
	// answered counts the changes made through this instance's pages, so that a person who
	// pressed a button sees its effect.
	answered atomic.Uint64

	maps mapCache
}

// drawnBoard is one drawing of the board. It is immutable.
type drawnBoard struct {
	key     string    // identifies the drawing, so that a browser can say which one it shows
	version uint64    // of the cases that it was drawn from
	at      time.Time // by the site's clock
	made    time.Time // when it was started, by the machine's clock
	answers uint64    // the value of answered when it was started
	cases   []watch.Case
	onCall  []format.Line
	asleep  string
	head    string
	rows    []drawnRow
	empty   string // shown instead of rows, "" if there are rows

	joined sync.Once
	all    string // the result of whole
}

type drawnRow struct{ id, html string }

const (
	// Our judgment: the clocks show minutes, so a drawing of the same cases is good for this
	// long.
	boardKeeps = 5 * time.Second
	// Our judgment: a browser that shows one of this many last drawings is sent the
	// differences, an older one everything.
	boardsKept = 16
)

// recent finds a drawing by its key, nil if it is too old or another instance's.
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

const (
	// Our judgment: on a busy day every page load would draw again because of an event that
	// has just come in. The page's stream brings that event at once.
	boardFresh = 150 * time.Millisecond
	// Our judgment: while the board is being drawn, a page need not wait for what its stream
	// brings moments later.
	boardUsable = 3 * time.Second
)

// boardNow returns the board, at most boardFresh old, or boardUsable while somebody draws a
// new one. It always shows the answers given on this instance.
func (s *Handlers) boardNow(ctx context.Context) (*drawnBoard, error) {
	if d := s.board.newest(); s.shows(ctx, d, boardFresh) {
		return d, nil
	}
	if !s.board.drawing.TryLock() {
		if d := s.board.newest(); s.shows(ctx, d, boardUsable) {
			return d, nil
		}
		s.board.drawing.Lock()
	}
	defer s.board.drawing.Unlock()
	return s.refreshBoard(ctx)
}

// shows reports whether a drawing is recent enough and shows all answers given here.
func (s *Handlers) shows(ctx context.Context, d *drawnBoard, within time.Duration) bool {
	return d != nil && time.Since(d.made) < within && d.answers == s.board.answered.Load() && d.asleep == s.asleep(ctx)
}

// boardSoon is boardNow for streams, which can wait a moment. However many are woken by a
// change, they share one drawing, and drawings are at least apart from each other.
func (s *Handlers) boardSoon(ctx context.Context, apart time.Duration) (*drawnBoard, error) {
	asked := time.Now()
	for {
		newest := s.board.newest()
		if newest != nil && newest.made.After(asked) {
			return newest, nil
		}
		wait := time.Duration(0)
		if newest != nil {
			wait = apart - time.Since(newest.made)
		}
		if wait <= 0 {
			return s.refreshAfter(ctx, asked)
		}
		if !sleep(ctx, wait) {
			return nil, ctx.Err()
		}
	}
}

// refreshAfter draws the board, unless somebody else did while the caller waited.
func (s *Handlers) refreshAfter(ctx context.Context, asked time.Time) (*drawnBoard, error) {
	s.board.drawing.Lock()
	defer s.board.drawing.Unlock()
	if newest := s.board.newest(); newest != nil && newest.made.After(asked) {
		return newest, nil
	}
	return s.refreshBoard(ctx)
}

// newest returns the last drawing, nil before the first.
func (b *sharedBoard) newest() *drawnBoard {
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.last) == 0 {
		return nil
	}
	return b.last[len(b.last)-1]
}

func (b *sharedBoard) add(d *drawnBoard) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.last = append(b.last, d)
	b.last = b.last[max(0, len(b.last)-boardsKept):]
}

// refreshBoard draws the board if anything has changed. The caller must hold board.drawing.
func (s *Handlers) refreshBoard(ctx context.Context) (*drawnBoard, error) {
	now, begun, answers := s.Now(), time.Now(), s.board.answered.Load()
	cases, err := s.Cases.Cases(ctx, now)
	if err != nil {
		return nil, err
	}
	asleep := s.asleep(ctx)
	newest := s.board.newest()
	if newest != nil && newest.version == cases.Version && newest.asleep == asleep && newest.answers == answers &&
		now.Sub(newest.at) < boardKeeps {
		return newest, nil
	}
	d, err := s.drawBoard(ctx, cases, asleep, now)
	if err == nil {
		d.made, d.answers = begun, answers
		s.board.add(d)
	}
	return d, err
}

func (s *Handlers) drawBoard(ctx context.Context, cases watch.Cases, asleep string, now time.Time) (d *drawnBoard,
	err error) {
	// A browser that disconnects must not cost the others the drawing.
	ctx = context.WithoutCancel(ctx)
	d = &drawnBoard{key: strconv.FormatInt(time.Now().UnixNano(), 36), version: cases.Version, at: now, asleep: asleep,
		cases: cases.List, onCall: onCallLines(cases.List)}
	zone := s.ZoneIn(ctx)
	head := view.BoardHeadText{Asleep: asleep, AsOf: format.ShortDay(now, zone) + ", " + format.ClockSeconds(now, zone),
		Looked: s.lastPass(ctx, zone)}
	if d.head, err = renderPart(ctx, view.BoardHead(head)); err != nil {
		return d, err
	}
	for _, row := range boardRows(cases.List, now) {
		html, err := renderPart(ctx, view.BoardParty(row))
		if err != nil {
			return d, err
		}
		d.rows = append(d.rows, drawnRow{row.ID, html})
	}
	if len(d.rows) == 0 {
		d.empty, err = renderPart(ctx, ui.EmptyState(nobodyOut()))
	}
	return d, err
}

func nobodyOut() ui.EmptyText {
	return ui.EmptyText{Title: "Nobody is out", Text: "No party has left, and none should have left by now."}
}

// whole returns everything inside the board's element.
func (d *drawnBoard) whole() string {
	d.joined.Do(func() { d.all = d.join() })
	return d.all
}

func (d *drawnBoard) join() string {
	var b strings.Builder
	b.WriteString(d.headPart())
	b.WriteString(`<div id="board-parties">` + d.empty)
	if len(d.rows) > 0 {
		b.WriteString(`<ol class="Board">`)
		for _, r := range d.rows {
			b.WriteString(r.html)
		}
		b.WriteString(`</ol>`)
	}
	b.WriteString(`</div>`)
	return b.String()
}

// since returns what a browser needs that shows another drawing: only the rows that differ
// if the order is the same, else everything.
func (d *drawnBoard) since(before *drawnBoard) string {
	if before == nil || !d.sameOrder(before) {
		return d.whole()
	}
	var b strings.Builder
	b.WriteString(d.headPart())
	for i, r := range d.rows {
		if r.html != before.rows[i].html {
			b.WriteString(r.html)
		}
	}
	return b.String()
}

func (d *drawnBoard) headPart() string { return `<div id="board-head">` + d.head + `</div>` }

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
