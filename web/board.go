package web

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
	"saltbush/web/view"
)

func (s *Server) showBoard(w http.ResponseWriter, r *http.Request) error {
	rows, err := s.boardRows(r)
	if err != nil {
		return err
	}
	p := view.BoardPage{Page: s.page(r, "Board", "Board"), AsOf: rows.AsOf, StreamURL: "/board/stream", Rows: rows, OnCall: s.onCall(r)}
	p.Live = true
	return s.render(w, r, http.StatusOK, view.Board(p))
}

// onCall lists who is named for the hikes on the board.
func (s *Server) onCall(r *http.Request) []view.Line {
	list, err := s.Rolls.Watched(r.Context())
	if err != nil {
		s.Log.Error("load board", "err", err)
		return nil
	}
	var lines []view.Line
	seen := map[hike.Contact]bool{}
	for _, x := range list {
		if c := x.Hike.OnCall; c.Name != "" && !seen[c] {
			seen[c] = true
			lines = append(lines, view.Line{Label: "On call", Value: c.Name + ", " + c.Phone, URL: "tel:" + c.Phone, Note: "for " + x.Hike.Title})
		}
	}
	return lines
}

func (s *Server) boardRows(r *http.Request) (view.BoardRowsText, error) {
	list, err := s.Rolls.Watched(r.Context())
	if err != nil {
		return view.BoardRowsText{}, err
	}
	now := s.Now()
	zone := s.zone(r)
	logs, err := s.Watch.WatchLogs(r.Context(), hikesOf(list))
	if err != nil {
		return view.BoardRowsText{}, err
	}
	rows := view.BoardRowsText{
		Asleep: s.asleep(r),
		AsOf:   now.In(zone).Format("Mon 2 Jan, 15:04:05"),
		Empty:  view.EmptyText{Title: "Nobody is out", Text: "No party has left, and none should have left by now."},
	}
	var lines []watch.Party
	of := map[hike.HikeID]roll.Watched{}
	for _, x := range list {
		of[x.Hike.ID] = x
		if x.Plan == nil {
			rows.Parties = append(rows.Parties, noPromise(x))
			continue
		}
		lines = append(lines, watch.Line(namesOf(x), watch.PromiseOf(x.Hike, *x.Plan, x.Roster), x.State(), now))
	}
	watch.SortByUrgency(lines)
	for _, l := range lines {
		row := boardRow(l, of[l.Hike], now)
		answerRow(&row, watch.CaseOf(of[l.Hike], logs[l.Hike]), l, now)
		rows.Parties = append(rows.Parties, row)
	}
	return rows, nil
}

func hikesOf(list []roll.Watched) []hike.HikeID {
	ids := make([]hike.HikeID, len(list))
	for i, x := range list {
		ids[i] = x.Hike.ID
	}
	return ids
}

func boardPath(id hike.HikeID) string { return fmt.Sprintf("/board/%d", id) }

// answerRow says who has an alarm, or offers to take it.
func answerRow(row *view.BoardRow, c watch.Case, l watch.Party, now time.Time) {
	if !l.Phase.Alarm() {
		return
	}
	if by, has := c.Answered(now); has {
		if next, more := c.Next(now); more {
			l.Next = next
			nextWords(row, l, now, c.Hike.Start.Location())
		}
		row.Answered = by.By + " has it, since " + view.Clock(by.At, c.Hike.Start.Location())
		return
	}
	row.Act = view.ButtonText{Label: "I have it", URL: boardPath(l.Hike) + "/acknowledge", Kind: view.ButtonMain, About: l.Title}
}

func namesOf(x roll.Watched) watch.Names {
	n := watch.Names{Hike: x.Hike.ID, Title: x.Hike.Title, Trail: x.Trail, OnCall: x.Hike.OnCall.Name, Deputy: x.Hike.Deputy.Name}
	if m, ok := x.Hike.StaffOf(hike.Leader); ok {
		n.Leader = m.Name
	}
	if m, ok := x.Hike.StaffOf(hike.Sweep); ok {
		n.Sweep = m.Name
	}
	return n
}

// noPromise is a party without a plan: nothing was promised, so no clock can tell
// whether it is late. It stands on top, since no data is not green.
func noPromise(x roll.Watched) view.BoardRow {
	n := namesOf(x)
	return view.BoardRow{
		URL: watchPath(x.Hike.ID), Phase: view.StampOf("").WithNote("no plan"), Trail: x.Trail, Hike: x.Hike.Title, Leader: n.Leader,
		Out: "see the roll", Count: "see the roll", Expected: "not known: no plan was made", Next: "No watch time",
		NextSays: "Ring the leader and agree a time of return.", Grave: true,
	}
}

func boardRow(l watch.Party, x roll.Watched, now time.Time) view.BoardRow {
	zone := x.Hike.Start.Location()
	row := view.BoardRow{
		URL: watchPath(l.Hike), Phase: phaseStamp(l), Trail: l.Trail, Hike: l.Title, Leader: orElse(l.Leader, "nobody named"), Tel: leaderPhone(x.Hike),
		Out: outWords(l), Expected: view.ClockRange(l.Times.Expected, l.Times.Watch, zone), Grave: l.Phase.Alarm(),
	}
	if !l.Times.DepartureConfirmed {
		row.Expected += ", from the planned start"
	}
	if l.Outlook.From != nil {
		row.Expected += "; at their own pace " + view.ClockRange(l.Outlook.Likely, l.Outlook.Late, zone)
	}
	row.Count, row.CountBad = countWords(l, zone)
	nextWords(&row, l, now, zone)
	for _, f := range l.Flags {
		row.Flags = append(row.Flags, f.Words)
	}
	for _, p := range l.Passed {
		row.Flags = append(row.Flags, "Out beyond "+p.Name+", "+view.Clock(p.At, zone)+".")
	}
	if l.Concern != "" {
		row.Flags = append(row.Flags, l.Concern)
	}
	if l.Phase == watch.Back {
		row.Act = view.ButtonText{Label: "Stand down", URL: boardPath(l.Hike) + "/stand-down", Kind: view.ButtonMain, About: l.Title}
	}
	return row
}

func leaderPhone(h hike.Hike) string {
	m, _ := h.StaffOf(hike.Leader)
	return m.Phone
}

// phaseStamp says what is not known in pencil, never in green.
func phaseStamp(l watch.Party) view.StampText {
	if l.Phase == watch.Unconfirmed {
		return view.StampOf("").WithNote(string(watch.Unconfirmed))
	}
	return view.StampOf(string(l.Phase))
}

func outWords(l watch.Party) string {
	if !l.Times.DepartureConfirmed {
		return "not known: departure not reported"
	}
	return fmt.Sprintf("%d", l.OnTrail)
}

func countWords(l watch.Party, zone *time.Location) (text string, bad bool) {
	if l.LastCount == nil {
		return "none", false
	}
	c := *l.LastCount
	given := c.Leader
	if given == 0 {
		given = c.Sweep
	}
	return fmt.Sprintf("%d of %d at %s, %s", given, c.Expected, c.Place, view.Clock(c.At, zone)), !c.Agrees
}

// nextWords is the next step of the ladder and how far off it is.
func nextWords(row *view.BoardRow, l watch.Party, now time.Time, zone *time.Location) {
	if l.Next.At.IsZero() {
		row.Next, row.NextSays = "No clock runs", l.Phase.Meaning()
		return
	}
	row.Next = l.Next.Name + " " + view.Clock(l.Next.At, zone)
	row.NextIn = away(l.Next.At, now)
	row.NextSays = l.Next.Do
	if l.Phase.Alarm() {
		row.NextSays = l.Phase.Meaning() + " Next: " + firstSentence(l.Next.Do)
	}
}

// firstSentence is enough for a line of the board; the page of the watch has the rest.
func firstSentence(text string) string {
	first, _, more := strings.Cut(text, ". ")
	if more {
		return first + "."
	}
	return first
}

// House judgement: clocks on the board move even when nothing happens.
const boardEvery = 15 * time.Second

// streamBoard sends the rows anew whenever a roll changes, and every few seconds for the
// clocks' sake.
func (s *Server) streamBoard(w http.ResponseWriter, r *http.Request) error {
	out := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	signal, end := s.Changes.Subscribe()
	defer end()
	tick := time.NewTicker(boardEvery)
	defer tick.Stop()
	for {
		if err := s.sendRows(w, r); err != nil {
			s.Log.Debug("board stream ended", "err", err)
			return nil // the browser has gone or will ask again
		}
		if err := out.Flush(); err != nil {
			return nil
		}
		select {
		case <-r.Context().Done():
			return nil
		case <-signal:
		case <-tick.C:
		}
	}
}

// sendRows writes one event of the stream: the rows as a fragment of the page.
func (s *Server) sendRows(w http.ResponseWriter, r *http.Request) error {
	rows, err := s.boardRows(r)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := view.BoardRows(rows).Render(r.Context(), &b); err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "data: %s\n\n", strings.ReplaceAll(b.String(), "\n", "\ndata: "))
	return err
}

// standDown ends the watch of a party that is back, by name.
func (s *Server) standDown(w http.ResponseWriter, r *http.Request) error {
	id := hikeIn(r).ID
	rec, err := s.Rolls.Record(r.Context(), id)
	if err != nil {
		return err
	}
	if err := rec.State().CanStandDown(); err != nil {
		return hike.Refusal(sentenceCase(err.Error()))
	}
	e := roll.Event{ID: roll.EventID(uuid.NewString()), Kind: roll.KindStoodDown, At: s.Now(), By: nameOf(r)}
	if _, err := s.Rolls.Append(r.Context(), id, []roll.Event{e}, s.Now()); err != nil {
		return err
	}
	return s.seeOther(w, r, "/board", "Stood down: "+rec.Hike.Title+" is back, by name.")
}
