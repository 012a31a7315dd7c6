package roll

import (
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/privacy"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// cars lists every car that the roll knows of.
func (f rollFolded) cars() ui.LedgerText {
	if !f.sight.CanSee(privacy.KindPlate) {
		return ui.LedgerText{}
	}
	l := ui.LedgerText{Columns: []ui.Column{{Label: "Plate"}, {Label: "Whose"}, {Label: "Where"}}}
	for _, c := range f.state.Cars {
		l.Rows = append(l.Rows, []ui.Cell{{Text: c.Plate}, {Text: format.OrElse(strings.Join(c.Owners, ", "), "not ours: tell the land manager")}, {Text: f.carWhere(c)}})
	}
	return l
}

func (f rollFolded) carWhere(c party.Car) string {
	switch {
	case !c.Gone.IsZero():
		return "gone " + format.Clock(c.Gone, f.Zone())
	case !c.Seen.At.IsZero():
		return "in the lot, seen " + format.Clock(c.Seen.At, f.Zone())
	}
	return "said to come in it; not seen"
}

// backForms account for the cars.
func (f rollFolded) backForms() []view.RollForm {
	gone := view.RollAsk{As: "ticks", Field: ui.Field{Name: "plate", ID: "gone-plate", Label: "Which"}}
	for _, c := range f.openCars() {
		gone.People = append(gone.People, view.RollTick{ID: c.Plate, Name: c.Plate, Note: strings.Join(c.Owners, ", "), Checked: c.Seen.At.IsZero()})
	}
	forms := []view.RollForm{{Key: "plate", Title: "A car in the lot", Text: "Match the plate to the roll first: ask whose it is, ring the owner. One that is nobody's is for the land manager.", Event: f.event(),
		Asks: []view.RollAsk{{As: "text", Field: ui.Field{Name: "plate", ID: "seen-plate", Label: "Number plate", Short: true}},
			optionalWho(f.who("person", "plate-who", "Whose, if it is ours", party.AllWhereabouts()...))},
		Button: wideButton("It stands in the lot", "plate")}}
	if len(gone.People) > 0 {
		forms = append(forms, view.RollForm{Key: "gone", Title: "Cars that have left", Text: "The hike stays open until each of ours is gone.", Open: true, Event: f.event(),
			Asks: []view.RollAsk{gone}, Button: wideButton("These are gone", "car gone")})
	}
	return forms
}

// openCars are those that have not gone, for whoever may see them.
func (f rollFolded) openCars() []party.Car {
	if !f.sight.CanSee(privacy.KindPlate) {
		return nil
	}
	return f.state.OpenCars()
}

func optionalWho(a view.RollAsk) view.RollAsk {
	a.Optional = true
	return a
}

// closing says by name what keeps the hike open, once people come back.
func (f rollFolded) closing() *ui.NoteText {
	if f.state.Departed.IsZero() || !f.sight.CanSee(privacy.KindPlate) {
		return nil
	}
	if err := f.state.CanClose(); err != nil {
		return &ui.NoteText{Kind: ui.NoteCaution, Title: "What keeps it open", Points: strings.Split(format.SentenceCase(strings.TrimPrefix(err.Error(), "the hike stays open: ")), "; ")}
	}
	return &ui.NoteText{Title: "Everything is accounted for", Text: "Every name, every pair that left early and every car; on-call has stood down. The hike can be closed."}
}
