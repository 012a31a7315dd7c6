package kit

import (
	"net/http"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/web/ui"
)

func OfPlace(p signup.SignUp) card.Of { return card.Of{Hike: p.Hike, Person: p.ID} }

// CardLines are the answers of a card in the order in which they are needed. What is not
// answered says so: it is not known, which is not "none".
func CardLines(c card.Card) []format.Line {
	lines := []format.Line{
		{Label: "Carries, and where", Value: c.Carried}, {Label: "Allergies", Value: c.Allergies},
		{Label: "Conditions", Value: c.Conditions},
		{Label: "Medicines", Value: c.Medicines}, {Label: "Heat, before", Value: c.HeatHistory},
		{Label: "Hearing, seeing, language", Value: c.Communication},
		{Label: "Born", Value: c.Born}, {Label: "Doctor", Value: c.Doctor},
	}
	for i := range lines {
		if lines[i].Value == "" {
			lines[i].Note = "not written"
		}
	}
	return lines
}

// House judgement: as many openings as a person looks through.
const OpeningsShown = 200

func OpeningsLedger(list []card.Opening, zone *time.Location, reasons bool) ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "When"}, {Label: "Whose card"}, {Label: "Hike"}, {Label: "Opened by"}}}
	if reasons {
		l.Columns = append(l.Columns, ui.Column{Label: "Reason"})
	}
	for _, o := range list {
		row := []ui.Cell{{Text: format.Moment(o.At, zone)}, {Text: format.OrElse(o.Person, "a name that is deleted")},
			{Text: o.Title}, {Text: o.By, Note: string(o.Ground)}}
		if reasons {
			row = append(row, ui.Cell{Text: ReasonWords(o)})
		}
		l.Rows = append(l.Rows, row)
	}
	return l
}

// ReasonWords returns the reason that a card was opened for.
func ReasonWords(o card.Opening) string {
	if o.Lost {
		return "cannot be read any more: its key is gone"
	}
	return o.Reason
}

// ActionLines loads the action lines of a hike. Where that fails, pages show that there
// are cards, and the fault is logged.
func (s *Kit) ActionLines(r *http.Request, id ref.Hike) map[string]card.Line {
	lines, err := s.cards.ActionLines(r.Context(), id)
	if err != nil {
		s.Log.Error("read action lines", "hike", id, "err", err)
	}
	return lines
}

// Actions are the action lines of a hike as one viewer of its roll sees them.
type Actions struct {
	Lines map[string]card.Line
	Reads bool // this viewer reads them now
	Opens bool // this viewer may open whole cards now
}

func (s *Kit) ActionsFor(r *http.Request, h hike.Hike, sight privacy.Visibility) Actions {
	a, _ := ViewerOf(r).Account()
	x := Actions{Reads: sight.CanSee(privacy.KindAction)}
	_, x.Opens = card.MayOpen(card.ReaderOf(a, h), card.Situation{Hike: h}, s.Now())
	if x.Reads {
		x.Lines = s.ActionLines(r, h.ID)
	}
	return x
}
