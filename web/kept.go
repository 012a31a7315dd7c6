package web

import (
	"net/http"
	"strconv"
	"time"

	"saltbush/internal/hike"
	"saltbush/web/view"
)

// House judgement: as much of the logs as a person looks through.
const (
	goneShown = 200
	logShown  = 500
)

func (s *Server) showKept(w http.ResponseWriter, r *http.Request) error {
	return s.renderKept(w, r, http.StatusOK, view.Answers{})
}

func (s *Server) renderKept(w http.ResponseWriter, r *http.Request, status int, a view.Answers) error {
	house, err := s.Hikes.House(r.Context())
	if err != nil {
		return err
	}
	list, err := s.Kept.Retiring(r.Context(), s.Now(), house.Rules)
	if err != nil {
		return err
	}
	zone := s.zone(r)
	p := view.KeptPage{Page: s.page(r, "What is kept", "Kept"), Why: view.NewHoldWhy(a), Stays: keptStays()}
	p.Open, p.Going = openLedger(list, zone), goingLedger(list, zone)
	p.Hike = view.NewHeldHike(a, holdable(list, zone))
	if err := s.keptLogs(&p, r, a); err != nil {
		return err
	}
	return s.render(w, r, status, view.Kept(p))
}

// keptLogs fills what was done: the last run, holds and deletions.
func (s *Server) keptLogs(p *view.KeptPage, r *http.Request, a view.Answers) error {
	zone := s.zone(r)
	last, err := s.Kept.LastRetired(r.Context())
	if err != nil {
		return err
	}
	p.Run = runNote(last, s.Now(), zone)
	holds, err := s.Kept.Holds(r.Context())
	if err != nil {
		return err
	}
	p.Holds, p.Past = holdLedgers(holds, zone, a)
	gone, err := s.Kept.Retirements(r.Context(), goneShown)
	p.Gone = goneLedger(gone, zone)
	return err
}

func keptStays() []string {
	return []string{
		"Numbers, times and places of a hike stay, and its places on the roll under a number: the roll counts the same without names.",
		"The log of a watch is appended to and never changed, with the names that stand in it. So is the log of opened cards.",
		"Staff and on-call: their accounts, parts and numbers on a hike stay until a coordinator takes them away.",
		"A waiver stays four years, or what the house set, and that of a minor as if they had been born on the day: no birth year is kept. Counsel says what your law asks.",
		"Messages go 90 days, or what the house set for contacts, after they were written. While a hold stands, those of its time stay, whomever they went to.",
		"Dumps and backups are yours to delete: nothing here reaches them.",
	}
}

// House judgement: a run that is two days late is no accident of a restart.
const runLate = 48 * time.Hour

func runNote(last, now time.Time, zone *time.Location) view.NoteText {
	switch {
	case last.IsZero():
		return view.NoteText{Kind: view.NoteUnknown, Title: "No run yet", Text: "It runs once a day while the site runs, however many instances there are."}
	case now.Sub(last) > runLate:
		return view.NoteText{Kind: view.NoteGrave, Title: "The daily run is late: the last was " + view.Moment(last, zone), Text: "Nothing has gone since. Whoever runs the server finds why in its log."}
	}
	return view.NoteText{Title: "Last run: " + view.Moment(last, zone), Text: "It runs once a day. What is due goes with the next run."}
}

func openLedger(list []hike.Retiring, zone *time.Location) view.LedgerText {
	l := view.LedgerText{Cards: true, Columns: []view.Column{{Label: "Hike"}, {Label: "Day"}, {Label: "Stands at"}}}
	for _, h := range list {
		if h.Closed.IsZero() {
			l.Rows = append(l.Rows, []view.Cell{{Text: h.Title, URL: hikePath(h.Hike) + "/manage"}, {Text: view.Day(h.Meet, zone)}, {Text: string(h.State)}})
		}
	}
	return l
}

func goingLedger(list []hike.Retiring, zone *time.Location) view.LedgerText {
	l := view.LedgerText{Cards: true, Columns: view.KeptColumns()}
	for _, h := range list {
		if h.Closed.IsZero() {
			continue
		}
		row := []view.Cell{{Text: h.Title, Note: "from " + view.Day(h.Closed, zone)}}
		for _, g := range h.Going {
			row = append(row, goingCell(h, g, zone))
		}
		l.Rows = append(l.Rows, append(row, waiverCell(h, zone)))
	}
	return l
}

func goingCell(h hike.Retiring, g hike.Going, zone *time.Location) view.Cell {
	switch {
	case !g.Gone.IsZero():
		return view.Cell{Text: "gone", Note: view.Date(g.Gone, zone)}
	case h.Hold != nil:
		return view.Cell{Text: "held", Note: "was due " + view.Date(g.At, zone)}
	}
	return view.Cell{Text: view.Date(g.At, zone)}
}

func waiverCell(h hike.Retiring, zone *time.Location) view.Cell {
	if h.Waivers == 0 {
		return view.Cell{Text: "with the names"}
	}
	return view.Cell{Text: view.Count(h.Waivers, "is kept", "are kept"), Note: "the first goes " + view.Date(h.NextWaiver, zone)}
}

// holdable are the hikes that no hold stands on.
func holdable(list []hike.Retiring, zone *time.Location) []view.Option {
	var options []view.Option
	for _, h := range list {
		if h.Hold == nil {
			options = append(options, view.Option{Value: strconv.FormatInt(int64(h.Hike), 10), Label: h.Title + ", " + view.Date(h.Meet, zone)})
		}
	}
	return options
}

func holdLedgers(holds []hike.Hold, zone *time.Location, a view.Answers) (stand, past view.LedgerText) {
	stand = view.LedgerText{Cards: true, Columns: view.HoldColumns()}
	past = view.LedgerText{Cards: true, Columns: view.PastHoldColumns()}
	for _, h := range holds {
		row := []view.Cell{{Text: h.Title}, {Text: h.Because}, {Text: view.Moment(h.Since, zone), Note: h.By}}
		if h.Lifted.IsZero() {
			id := strconv.FormatInt(int64(h.Hike), 10)
			why := view.Answers{}
			if typed := a.Typed["hike"]; len(typed) == 1 && typed[0] == id {
				why = a
			}
			stand.Rows = append(stand.Rows, append(row, view.Cell{Part: view.LiftForm(view.LiftText{Hike: id, About: h.Title, Why: view.NewLiftWhy(why, id)})}))
			continue
		}
		past.Rows = append(past.Rows, append(row, view.Cell{Text: view.Moment(h.Lifted, zone), Note: h.LiftedBy}, view.Cell{Text: h.LiftedBecause}))
	}
	return stand, past
}

func goneLedger(list []hike.Retirement, zone *time.Location) view.LedgerText {
	l := view.LedgerText{Cards: true, Columns: view.GoneColumns()}
	for _, d := range list {
		l.Rows = append(l.Rows, []view.Cell{{Text: view.Moment(d.At, zone)}, {Text: orElse(d.Title, "no hike in particular")}, {Text: d.Kind.Words()}, {Text: strconv.Itoa(d.Gone)}, {Text: d.By}})
	}
	return l
}

func (s *Server) holdHike(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r)
	return s.changeHold(w, r, f, func(id hike.HikeID, by string) error {
		return s.Kept.HoldHike(r.Context(), id, f.paragraph("because"), by, s.Now())
	}, "Held. Nothing of that hike is deleted until the hold is lifted.")
}

func (s *Server) liftHold(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r)
	return s.changeHold(w, r, f, func(id hike.HikeID, by string) error {
		return s.Kept.LiftHold(r.Context(), id, f.text("lift"), by, s.Now())
	}, "Lifted. What is due goes with the next run.")
}

func (s *Server) changeHold(w http.ResponseWriter, r *http.Request, f form, change func(hike.HikeID, string) error, said string) error {
	id := f.whole("hike", "Choose a hike from the list.")
	a, _ := viewerOf(r).Account()
	var err error
	if len(f.faults) == 0 {
		err = change(hike.HikeID(id), a.Name)
	}
	invalid, err := f.invalid(err)
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderKept(w, r, http.StatusUnprocessableEntity, answers(r, invalid))
	}
	return s.seeOther(w, r, "/kept#holds", said)
}

// showLog is one log over all logs.
func (s *Server) showLog(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Kept.Audit(r.Context(), logShown)
	if err != nil {
		return err
	}
	p := view.LogPage{Page: s.page(r, "Log", "Kept"), Lines: view.LedgerText{Cards: true, Columns: view.LogColumns()}}
	zone := s.zone(r)
	for _, a := range list {
		p.Lines.Rows = append(p.Lines.Rows, []view.Cell{{Text: view.Moment(a.At, zone)}, {Text: a.What}, {Text: a.About}, {Text: a.Note}, {Text: orElse(a.By, "not noted")}})
	}
	return s.render(w, r, http.StatusOK, view.Log(p))
}
