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

// OfPlace returns the key of a person's card for one hike.
func OfPlace(p signup.SignUp) card.Of { return card.Of{Hike: p.Hike, Person: p.ID} }

// CardLines lists the answers of a card in the order in which helpers need them. An empty answer is
// marked "not written": it is unknown, which is not "none".
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

// OpeningsShown is how many openings a page lists. Our judgment: nobody looks through more.
const OpeningsShown = 200

// OpeningsLedger lists openings of cards, with the reasons where the viewer may read them.
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

// ReasonWords returns the reason for which a card was opened.
func ReasonWords(o card.Opening) string {
	if o.Lost {
		return "cannot be read any more: its key is gone"
	}
	return o.Reason
}

// ActionLines loads the action lines of a hike. An error is logged, and the page then shows only
// that there are cards.
func (s *Kit) ActionLines(r *http.Request, id ref.Hike) map[string]card.Line {
	lines, err := s.cards.ActionLines(r.Context(), id)
	if err != nil {
		s.Log.Error("read action lines", "hike", id, "err", err)
	}
	return lines
}

// Actions are the action lines of a hike for one viewer of its roll.
type Actions struct {
	Lines map[string]card.Line
	Reads bool // the viewer may read them now
	Opens bool // the viewer may open whole cards now
}

// ActionsFor returns the action lines that the viewer may see.
func (s *Kit) ActionsFor(r *http.Request, h hike.Hike, visible privacy.Visibility) Actions {
	a, _ := ViewerOf(r).Account()
	x := Actions{Reads: visible.CanSee(privacy.KindAction)}
	_, x.Opens = card.MayOpen(card.ReaderOf(a, h), card.Situation{Hike: h}, s.Now())
	if x.Reads {
		x.Lines = s.ActionLines(r, h.ID)
	}
	return x
}
