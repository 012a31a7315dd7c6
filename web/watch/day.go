package watch

import (
	"cmp"
	"fmt"
	"net/http"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/watch"
	"saltbush/web/kit"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

// Our judgment: as many entries of each kind as a page can hold and a person can read.
const maxOfDay = 1000

// ShowDay shows what happened on a day by the organization's clock, by default today.
func (s *Handlers) ShowDay(w http.ResponseWriter, r *http.Request) error {
	zone := s.Zone(r)
	now := s.Now().In(zone)
	today := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, zone)
	day, err := time.ParseInLocation(time.DateOnly, r.URL.Query().Get("day"), zone)
	if err != nil || day.After(today) {
		day = today
	}
	list, err := s.Watch.Day(r.Context(), day, day.AddDate(0, 0, 1), maxOfDay)
	if err != nil {
		return err
	}
	visibilities, err := s.visibilitiesOn(r, list)
	if err != nil {
		return err
	}
	p := view.BoardDayPage{Page: s.Page(r, "What happened", "Board"), Day: format.Day(day, zone), BoardURL: "/board",
		Earlier: ui.ButtonText{Label: "The day before", URL: dayPath(day.AddDate(0, 0, -1))},
		Log:     dayLedger(list, visibilities),
		Empty: ui.EmptyText{Title: "Nothing",
			Text: "Nobody recorded anything on this day, and no watch took a step."}}
	if day.Before(today) {
		p.Later = ui.ButtonText{Label: "The day after", URL: dayPath(day.AddDate(0, 0, 1))}
	}
	if len(list) >= maxOfDay {
		p.Note = fmt.Sprintf("At most %d records and %d steps are shown.", maxOfDay, maxOfDay)
	}
	return s.Render(w, r, http.StatusOK, view.BoardDay(p))
}

func dayPath(day time.Time) string { return "/board/today?day=" + day.Format(time.DateOnly) }

// visibilitiesOn returns what the viewer may see of the people of each hike of a day.
func (s *Handlers) visibilitiesOn(r *http.Request, list []watch.DayEntry) (map[ref.Hike]privacy.Visibility, error) {
	visibilities := map[ref.Hike]privacy.Visibility{}
	cases, err := s.Cases.Cases(r.Context(), s.Now())
	if err != nil {
		return nil, err
	}
	for _, c := range cases.List {
		if visibilities[c.Hike.ID], err = s.watchVisibility(r, c, watchViewer{name: kit.NameOf(r)}); err != nil {
			return nil, err
		}
	}
	for _, e := range list {
		if _, known := visibilities[e.Hike]; known {
			continue
		}
		h, err := s.Hikes.Hike(r.Context(), e.Hike)
		if err != nil {
			return nil, err
		}
		visibilities[e.Hike] = s.StaffVisibility(r, h) // no longer watched
	}
	return visibilities, nil
}

func dayLedger(list []watch.DayEntry, visibilities map[ref.Hike]privacy.Visibility) ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "At"}, {Label: "Hike"}, {Label: "What"}, {Label: "Who"}}}
	for _, e := range list {
		switch visibility := visibilities[e.Hike]; {
		case !visibility.CanSee(privacy.KindName):
			e = withoutNames(e)
		case !visibility.CanSee(privacy.KindContact):
			e = withoutContacts(e)
		}
		what, who, note := dayWords(e)
		l.Rows = append(l.Rows, []ui.Cell{{Text: format.Clock(e.At(), e.Zone)},
			{Text: e.Title, URL: paths.Watch(e.Hike)}, {Text: what, Note: note}, {Text: who}})
	}
	return l
}

// withoutNames removes from an entry who it is about, and what was written, because that
// names people too.
func withoutNames(e watch.DayEntry) watch.DayEntry {
	if e.Record != nil {
		record := *e.Record
		record.Name, record.Note = "", ""
		e.Record, e.Names = &record, nil
		if n := len(record.Persons); n > 0 {
			e.Names = []string{format.Count(n, "person", "people")}
		}
		return e
	}
	l := *e.Line
	if l.Kind == watch.LogNote {
		l.Note = "A note, for those who keep the watch"
	}
	e.Line = &l
	return e
}

// withoutContacts removes the emergency contact of somebody who joined at the trailhead.
func withoutContacts(e watch.DayEntry) watch.DayEntry {
	if e.Record == nil || e.Record.Kind != party.KindJoined {
		return e
	}
	record := *e.Record
	record.Note = ""
	e.Record = &record
	return e
}

func dayWords(e watch.DayEntry) (what, who, note string) {
	if e.Record != nil {
		return eventWords(*e.Record, e.Names), e.Record.By, eventNote(*e.Record)
	}
	l := *e.Line
	if l.Kind != watch.LogStep {
		return personWords(l)
	}
	if l.LateBy >= time.Minute {
		note = format.Duration(l.LateBy) + " late"
	}
	return "Step: " + watch.StepName(l.Step), "to " + l.RecipientName(), note
}

// eventWords describes one event of a roll in a line.
func eventWords(e party.Event, names []string) string {
	who := format.NamesShort(names)
	at := ""
	if e.Place != "" {
		at = " at " + e.Place
	}
	switch e.Kind {
	case party.KindCounted:
		return "Counted " + countedWords(e) + at
	case party.KindDeparted:
		return fmt.Sprintf("Departed with %d", max(e.Number, len(e.Persons)))
	case party.KindDelayed:
		return fmt.Sprintf("Delayed by %d min", e.Minutes)
	case party.KindReported:
		if e.Trouble {
			return "ASKS FOR HELP: " + e.Note
		}
		return "Message: " + e.Note
	case party.KindStoodDown:
		return "Watch stood down"
	case party.KindUndone:
		return "Took a record back"
	case party.KindJoined:
		return cmp.Or(e.Name, who) + " joined"
	}
	return strings.TrimPrefix(who+": "+strings.ReplaceAll(string(e.Kind), "-", " ")+at, ": ")
}

func countedWords(e party.Event) string {
	switch {
	case e.Number != 0 && e.Sweep != 0 && e.Number != e.Sweep:
		return fmt.Sprintf("%d by the leader and %d by the sweep", e.Number, e.Sweep)
	case e.Number == 0:
		return fmt.Sprint(e.Sweep)
	}
	return fmt.Sprint(e.Number)
}

// eventNote returns what a person wrote, and how late the event arrived if it was long after
// it was recorded.
func eventNote(e party.Event) string {
	var parts []string
	if len(e.Against) > 0 {
		parts = append(parts, "left although "+strings.Join(e.Against, ", "))
	}
	if e.Note != "" && e.Kind != party.KindReported {
		parts = append(parts, e.Note)
	}
	// Our judgment: a phone without signal for less than this is not worth a note.
	if late := e.Recorded.Sub(e.At); late >= 5*time.Minute {
		parts = append(parts, "heard "+format.Duration(late)+" later")
	}
	return strings.Join(parts, "; ")
}
