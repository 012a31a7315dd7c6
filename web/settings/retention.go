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

// How many lines of the logs are shown. Our judgment.
const (
	deletionsShown = 200
	logShown       = 500
)

// ShowRetention shows what is stored about people, until when, and what was deleted.
func (s *Handlers) ShowRetention(w http.ResponseWriter, r *http.Request) error {
	return s.renderRetention(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderRetention(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	house, err := s.Hikes.House(r.Context())
	if err != nil {
		return err
	}
	list, err := s.Kept.Cases(r.Context(), s.Now(), house.Rules)
	if err != nil {
		return err
	}
	zone := s.Zone(r)
	p := view.RetentionPage{Page: s.Page(r, "What is kept", "Kept"), Why: view.NewHoldWhy(a), Stays: neverDeleted()}
	p.Open, p.Going = unclosedLedger(list, zone), expiryLedger(list, zone)
	p.Hike = view.NewHeldHike(a, holdable(list, zone))
	if err := s.fillLogs(&p, r, a); err != nil {
		return err
	}
	return s.Render(w, r, status, view.Retention(p))
}

// fillLogs fills the last run, the holds and the deletions.
func (s *Handlers) fillLogs(p *view.RetentionPage, r *http.Request, a ui.FormState) error {
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
	gone, err := s.Kept.Deletions(r.Context(), deletionsShown)
	p.Gone = deletionLedger(gone, zone)
	return err
}

// neverDeleted lists what no run deletes.
func neverDeleted() []string {
	return []string{
		"Numbers, times and places of a hike stay, and its places on the roll under a number: the roll counts the " +
			"same without names.",
		"The log of a watch is appended to and never changed, with the names that stand in it. So is the log of " +
			"opened cards.",
		"Staff and on-call: their accounts, parts and numbers on a hike stay until a coordinator takes them away.",
		"A waiver stays four years, or what the house set, and that of a minor as if they had been born on the day: " +
			"no birth year is kept. Counsel says what your law asks.",
		"Messages go 90 days, or what the house set for contacts, after they were written. While a hold stands, " +
			"those of its time stay, whomever they went to.",
		"Dumps and backups are yours to delete: nothing here reaches them.",
	}
}

// runLate is how long after the last run the page warns.
// Our judgment: a restart does not delay a run by two days.
const runLate = 48 * time.Hour

func runNote(last, now time.Time, zone *time.Location) ui.NoteText {
	switch {
	case last.IsZero():
		return ui.NoteText{Kind: ui.NoteUnknown, Title: "No run yet",
			Text: "It runs once a day while the site runs, however many instances there are."}
	case now.Sub(last) > runLate:
		return ui.NoteText{Kind: ui.NoteGrave, Title: "The daily run is late: the last was " +
			format.Moment(last, zone), Text: "Nothing has gone since. Whoever runs the server finds why in its log."}
	}
	return ui.NoteText{Title: "Last run: " + format.Moment(last, zone),
		Text: "It runs once a day. What is due goes with the next run."}
}

func unclosedLedger(list []retention.Case, zone *time.Location) ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Hike"}, {Label: "Day"}, {Label: "Stands at"}}}
	for _, h := range list {
		if h.Closed.IsZero() {
			l.Rows = append(l.Rows, []ui.Cell{{Text: h.Title, URL: paths.Hike(h.Hike) + "/manage"},
				{Text: format.Day(h.Meet, zone)}, {Text: string(h.State)}})
		}
	}
	return l
}

func expiryLedger(list []retention.Case, zone *time.Location) ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: view.CaseColumns()}
	for _, h := range list {
		if h.Closed.IsZero() {
			continue
		}
		row := []ui.Cell{{Text: h.Title, Note: "from " + format.Day(h.Closed, zone)}}
		for _, g := range h.Going {
			row = append(row, expiryCell(h, g, zone))
		}
		l.Rows = append(l.Rows, append(row, waiverCell(h, zone)))
	}
	return l
}

func expiryCell(h retention.Case, g retention.Expiry, zone *time.Location) ui.Cell {
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
	return ui.Cell{Text: format.Count(h.Waivers, "is kept", "are kept"),
		Note: "the first goes " + format.Date(h.NextWaiver, zone)}
}

// holdable returns the hikes that are not held.
func holdable(list []retention.Case, zone *time.Location) []ui.Option {
	var options []ui.Option
	for _, h := range list {
		if h.Hold == nil {
			options = append(options, ui.Option{Value: strconv.FormatInt(int64(h.Hike), 10), Label: h.Title + ", " +
				format.Date(h.Meet, zone)})
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
			stand.Rows = append(stand.Rows,
				append(row, ui.Cell{Part: view.LiftForm(view.LiftText{Hike: id, About: h.Title,
					Why: view.NewLiftWhy(why, id)})}))
			continue
		}
		past.Rows = append(past.Rows,
			append(row, ui.Cell{Text: format.Moment(h.Lifted, zone), Note: h.LiftedBy}, ui.Cell{Text: h.LiftedBecause}))
	}
	return stand, past
}

func deletionLedger(list []retention.Deletion, zone *time.Location) ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: view.DeletionColumns()}
	for _, d := range list {
		l.Rows = append(l.Rows, []ui.Cell{{Text: format.Moment(d.At, zone)},
			{Text: format.OrElse(d.Title, "no hike in particular")}, {Text: d.Kind.Words()},
			{Text: strconv.Itoa(d.Gone)}, {Text: d.By}})
	}
	return l
}

// HoldHike holds the data of a hike, so that they are not deleted.
func (s *Handlers) HoldHike(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	return s.changeHold(w, r, f, func(id ref.Hike, by string) error {
		return s.Kept.HoldHike(r.Context(), id, f.Paragraph("because"), by, s.Now())
	}, "Held. Nothing of that hike is deleted until the hold is lifted.")
}

// LiftHold ends a hold.
func (s *Handlers) LiftHold(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	return s.changeHold(w, r, f, func(id ref.Hike, by string) error {
		return s.Kept.LiftHold(r.Context(), id, f.Text("lift"), by, s.Now())
	}, "Lifted. What is due goes with the next run.")
}

func (s *Handlers) changeHold(w http.ResponseWriter, r *http.Request, f kit.Form, change func(ref.Hike, string) error,
	said string) error {
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
		return s.renderRetention(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	return s.SeeOther(w, r, "/retention#holds", said)
}

// ShowLog shows all logs in one.
func (s *Handlers) ShowLog(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Kept.Audit(r.Context(), logShown)
	if err != nil {
		return err
	}
	p := view.LogPage{Page: s.Page(r, "Log", "Kept"), Lines: ui.LedgerText{Cards: true, Columns: view.LogColumns()}}
	zone := s.Zone(r)
	for _, a := range list {
		p.Lines.Rows = append(p.Lines.Rows, []ui.Cell{{Text: format.Moment(a.At, zone)}, {Text: a.What},
			{Text: a.About}, {Text: a.Note}, {Text: format.OrElse(a.By, "not noted")}})
	}
	return s.Render(w, r, http.StatusOK, view.Log(p))
}
