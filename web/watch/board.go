package watch

import (
	"bytes"
	"context"
	"net/http"
	"time"

	"github.com/a-h/templ"
	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/team"
	"saltbush/internal/watch"
	"saltbush/web/watch/view"
)

// ShowBoard shows who is out, with the maps and the unread updates around it.
func (s *Handlers) ShowBoard(w http.ResponseWriter, r *http.Request) error {
	d, err := s.boardNow(r.Context())
	if err != nil {
		return err
	}
	p := view.BoardPage{Page: s.Page(r, "Board", "Board"), Live: s.boardLine(r.Context(), d), OnCall: d.onCall,
		TodayURL: "/board/today", WallURL: "/board/wall"}
	p.Drawn = templ.Raw(d.whole())
	if p.Maps, err = s.mapsOf(r.Context(), d, s.UnitsOf(r)); err != nil {
		return err
	}
	if p.Unread, err = s.unreadNear(r); err != nil {
		return err
	}
	p.Reads = !s.May(r, account.KeepWatch)
	if !p.Reads && !s.May(r, account.ScheduleHike) {
		if p.Wake, err = s.WakeText(r); err != nil {
			return err
		}
	}
	return s.Render(w, r, http.StatusOK, view.Board(p))
}

// Our judgment: more numbers than this help nobody, and each watch page has its own.
const maxOnCall = 8

// onCallLines lists who is named for the hikes on the board.
func onCallLines(cases []watch.Case) []format.Line {
	var lines []format.Line
	seen := map[team.Contact]bool{}
	for _, x := range cases {
		c := x.Hike.OnCall
		if c.Name == "" || seen[c] {
			continue
		}
		seen[c] = true
		if len(seen) <= maxOnCall {
			lines = append(lines, format.Line{Label: "On call", Value: c.Name + ", " + c.Phone, URL: "tel:" + c.Phone,
				Note: "for " + x.Hike.Title})
		}
	}
	if more := len(seen) - maxOnCall; more > 0 {
		lines = append(lines, format.Line{Label: "On call", Value: format.Count(more, "person", "people") + " more",
			Note: "named on each watch"})
	}
	return lines
}

// StreamBoard sends the parts of the board that changed, after each change and every few
// seconds for the clocks.
func (s *Handlers) StreamBoard(w http.ResponseWriter, r *http.Request) error {
	last := s.board.recent(r.Header.Get("Last-Event-ID"))
	zone := s.Zone(r)
	clock := func() string { return format.ClockSeconds(s.Now(), zone) }
	return s.stream(w, r, clock, func() (id, text string, err error) {
		d, err := s.boardSoon(r.Context(), boardRest)
		if err != nil || d == last {
			return "", "", err
		}
		text, last = d.since(last), d
		return d.key, text, nil
	})
}

// sleep waits. It reports false if the context ended meanwhile.
func sleep(ctx context.Context, d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return false
	case <-t.C:
		return true
	}
}

// renderPart renders a part of a page to a string.
func renderPart(ctx context.Context, c templ.Component) (string, error) {
	var b bytes.Buffer
	err := c.Render(ctx, &b)
	return b.String(), err
}

// StandDown ends the watch of a party whose people are all accounted for.
func (s *Handlers) StandDown(w http.ResponseWriter, r *http.Request) error {
	v, err := s.viewerOf(r)
	if err != nil {
		return err
	}
	rec, err := s.Rolls.Record(r.Context(), v.id)
	if err != nil {
		return err
	}
	if err := rec.State().CanStandDown(); err != nil {
		return fault.Refusal(format.SentenceCase(err.Error()))
	}
	e := party.Event{ID: party.EventID(uuid.NewString()), Kind: party.KindStoodDown, At: s.Now(), By: v.name}
	if _, err := s.Rolls.Append(r.Context(), v.id, []party.Event{e}, s.Now()); err != nil {
		return err
	}
	s.board.answered.Add(1)
	to := "/board"
	if v.secret != "" || !s.May(r, account.SeeBoard) {
		to = v.path("")
	}
	return s.SeeOther(w, r, to, "Stood down: "+rec.Hike.Title+" is back, by name.")
}
