package settings

import (
	"net/http"
	"strconv"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/web/kit"
	"saltbush/web/settings/view"
	"saltbush/web/ui"
)

// Our judgment: as much of the logs as a person looks through.
const (
	goneShown = 200
	logShown  = 500
)

func (s *Handlers) ShowKept(w http.ResponseWriter, r *http.Request) error {
	return s.renderKept(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderKept(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	house, err := s.Hikes.House(r.Context())
	if err != nil {
		return err
	}
	list, err := s.Kept.Cases(r.Context(), s.Now(), house.Rules)
	if err != nil {
		return err
	}
	zone := s.Zone(r)
	p := view.KeptPage{Page: s.Page(r, "What is kept", "Kept"), Why: view.NewHoldWhy(a), Stays: keptStays()}
	p.Open, p.Going = openLedger(list, zone), goingLedger(list, zone)
	p.Hike = view.NewHeldHike(a, holdable(list, zone))
	if err := s.keptLogs(&p, r, a); err != nil {
		return err
	}
	return s.Render(w, r, status, view.Kept(p))
}

// keptLogs fills what was done: the last run, holds and deletions.
func (s *Handlers) keptLogs(p *view.KeptPage, r *http.Request, a ui.FormState) error {
	zone := s.Zone(r)
	last, err := s.Kept.LastDeletionRun(r.Context())
	if err != nil {
		return err
	}
	p.Run = runNote(last, s.Now(), zone)
	holds, err := s.Kept.Holds(r.Context())
	if err != nil {
		return err
	}
	p.Holds, p.Past = holdLedgers(holds, zone, a)
	gone, err := s.Kept.Deletions(r.Context(), goneShown)
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

// Our judgment: a run that is two days late is no accident of a restart.
const runLate = 48 * time.Hour

func runNote(last, now time.Time, zone *time.Location) ui.NoteText {
	switch {
	case last.IsZero():
		return ui.NoteText{Kind: ui.NoteUnknown, Title: "No run yet", Text: "It runs once a day while the site runs, however many instances there are."}
	case now.Sub(last) > runLate:
		return ui.NoteText{Kind: ui.NoteGrave, Title: "The daily run is late: the last was " + format.Moment(last, zone), Text: "Nothing has gone since. Whoever runs the server finds why in its log."}
	}
	return ui.NoteText{Title: "Last run: " + format.Moment(last, zone), Text: "It runs once a day. What is due goes with the next run."}
}

func openLedger(list []retention.Case, zone *time.Location) ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Hike"}, {Label: "Day"}, {Label: "Stands at"}}}
	for _, h := range list {
		if h.Closed.IsZero() {
			l.Rows = append(l.Rows, []ui.Cell{{Text: h.Title, URL: paths.Hike(h.Hike) + "/manage"}, {Text: format.Day(h.Meet, zone)}, {Text: string(h.State)}})
		}
	}
	return l
}

func goingLedger(list []retention.Case, zone *time.Location) ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: view.KeptColumns()}
	for _, h := range list {
		if h.Closed.IsZero() {
			continue
		}
		row := []ui.Cell{{Text: h.Title, Note: "from " + format.Day(h.Closed, zone)}}
		for _, g := range h.Going {
			row = append(row, goingCell(h, g, zone))
		}
		l.Rows = append(l.Rows, append(row, waiverCell(h, zone)))
	}
	return l
}

func goingCell(h retention.Case, g retention.Expiry, zone *time.Location) ui.Cell {
	switch {
	case !g.Gone.IsZero():
		return ui.Cell{Text: "gone", Note: format.Date(g.Gone, zone)}
	case h.Hold != nil:
		return ui.Cell{Text: "held", Note: "was due " + format.Date(g.ExpiresAt, zone)}
	}
	return ui.Cell{Text: format.Date(g.ExpiresAt, zone)}
}

func waiverCell(h retention.Case, zone *time.Location) ui.Cell {
	if h.Waivers == 0 {
		return ui.Cell{Text: "with the names"}
	}
	return ui.Cell{Text: format.Count(h.Waivers, "is kept", "are kept"), Note: "the first goes " + format.Date(h.NextWaiver, zone)}
}

// holdable are the hikes that no hold stands on.
func holdable(list []retention.Case, zone *time.Location) []ui.Option {
	var options []ui.Option
	for _, h := range list {
		if h.Hold == nil {
			options = append(options, ui.Option{Value: strconv.FormatInt(int64(h.Hike), 10), Label: h.Title + ", " + format.Date(h.Meet, zone)})
		}
	}
	return options
}

func holdLedgers(holds []retention.Hold, zone *time.Location, a ui.FormState) (stand, past ui.LedgerText) {
	stand = ui.LedgerText{Cards: true, Columns: view.HoldColumns()}
	past = ui.LedgerText{Cards: true, Columns: view.PastHoldColumns()}
	for _, h := range holds {
		row := []ui.Cell{{Text: h.Title}, {Text: h.Because}, {Text: format.Moment(h.Since, zone), Note: h.By}}
		if h.Lifted.IsZero() {
			id := strconv.FormatInt(int64(h.Hike), 10)
			why := ui.FormState{}
			if typed := a.Values["hike"]; len(typed) == 1 && typed[0] == id {
				why = a
			}
			stand.Rows = append(stand.Rows, append(row, ui.Cell{Part: view.LiftForm(view.LiftText{Hike: id, About: h.Title, Why: view.NewLiftWhy(why, id)})}))
			continue
		}
		past.Rows = append(past.Rows, append(row, ui.Cell{Text: format.Moment(h.Lifted, zone), Note: h.LiftedBy}, ui.Cell{Text: h.LiftedBecause}))
	}
	return stand, past
}

func goneLedger(list []retention.Deletion, zone *time.Location) ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: view.GoneColumns()}
	for _, d := range list {
		l.Rows = append(l.Rows, []ui.Cell{{Text: format.Moment(d.At, zone)}, {Text: format.OrElse(d.Title, "no hike in particular")}, {Text: d.Kind.Words()}, {Text: strconv.Itoa(d.Gone)}, {Text: d.By}})
	}
	return l
}

func (s *Handlers) HoldHike(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	return s.changeHold(w, r, f, func(id ref.Hike, by string) error {
		return s.Kept.HoldHike(r.Context(), id, f.Paragraph("because"), by, s.Now())
	}, "Held. Nothing of that hike is deleted until the hold is lifted.")
}

func (s *Handlers) LiftHold(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	return s.changeHold(w, r, f, func(id ref.Hike, by string) error {
		return s.Kept.LiftHold(r.Context(), id, f.Text("lift"), by, s.Now())
	}, "Lifted. What is due goes with the next run.")
}

func (s *Handlers) changeHold(w http.ResponseWriter, r *http.Request, f kit.Form, change func(ref.Hike, string) error, said string) error {
	id := f.Whole("hike", "Choose a hike from the list.")
	a, _ := kit.ViewerOf(r).Account()
	var err error
	if len(f.Faults) == 0 {
		err = change(ref.Hike(id), a.Name)
	}
	invalid, err := f.Invalid(err)
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderKept(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	return s.SeeOther(w, r, "/retention#holds", said)
}

// ShowLog is one log over all logs.
func (s *Handlers) ShowLog(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Kept.Audit(r.Context(), logShown)
	if err != nil {
		return err
	}
	p := view.LogPage{Page: s.Page(r, "Log", "Kept"), Lines: ui.LedgerText{Cards: true, Columns: view.LogColumns()}}
	zone := s.Zone(r)
	for _, a := range list {
		p.Lines.Rows = append(p.Lines.Rows, []ui.Cell{{Text: format.Moment(a.At, zone)}, {Text: a.What}, {Text: a.About}, {Text: a.Note}, {Text: format.OrElse(a.By, "not noted")}})
	}
	return s.Render(w, r, http.StatusOK, view.Log(p))
}
