package roll

import (
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/privacy"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// cars lists every car that the roll knows of, if the viewer may see plates.
func (f foldedRoll) cars() ui.LedgerText {
	if !f.visibility.CanSee(privacy.KindPlate) {
		return ui.LedgerText{}
	}
	l := ui.LedgerText{Columns: []ui.Column{{Label: "Plate"}, {Label: "Whose"}, {Label: "Where"}}}
	for _, c := range f.state.Cars {
		l.Rows = append(l.Rows, []ui.Cell{
			{Text: c.Plate}, {Text: format.OrElse(format.Join(c.Owners, ", "), "not ours: tell the land manager")},
			{Text: f.carWhere(c)},
		})
	}
	for _, name := range f.state.WithoutPlate() {
		l.Rows = append(l.Rows, []ui.Cell{{}, {Text: name}, {Text: "came in a car; write down its plate"}})
	}
	return l
}

func (f foldedRoll) carWhere(c party.Car) string {
	switch {
	case !c.Gone.IsZero():
		return "gone " + f.clock(c.Gone)
	case c.Stays != "":
		return "stays: " + c.Stays
	case !c.Seen.At.IsZero():
		return "in the lot, seen " + f.clock(c.Seen.At)
	}
	return "said to come in it; not seen"
}

// backForms account for the cars.
func (f foldedRoll) backForms() []view.RollForm {
	plate := textAsk("plate", "seen-plate", "License plate")
	plate.Short = true
	forms := []view.RollForm{{
		Key: "plate", Title: "A car in the lot", Event: f.newEvent(),
		Text: "Match the plate to the roll first: ask whose it is, then call the owner. Report one that nobody " +
			"knows to the land manager.",
		Asks: []view.RollAsk{
			plate, optional(f.who("person", "plate-who", "Whose, if it is ours", party.AllWhereabouts()...)),
		},
		Button: wideButton("It stands in the lot", "plate", ui.ButtonPlain),
	}}
	gone := view.RollAsk{As: "ticks", Field: ui.Field{Name: "plate", ID: "gone-plate", Label: "Which"}}
	for _, c := range f.openCars() {
		gone.People = append(gone.People,
			view.RollTick{ID: c.Plate, Name: c.Plate, Note: format.Join(c.Owners, ", ")})
	}
	if len(gone.People) > 0 {
		forms = append(forms, view.RollForm{
			Key: "gone", Title: "Cars that have left", Open: true, Event: f.newEvent(),
			Text: "The hike stays open until each of ours is gone.", Asks: []view.RollAsk{gone},
			Button: wideButton("These are gone", "car gone", ui.ButtonPlain),
		})
		stays := gone
		stays.Field.ID = "stays-plate"
		forms = append(forms, view.RollForm{
			Key: "stays", Title: "A car that stays", Event: f.newEvent(),
			Text: "Record a car that stays for a good reason, such as a driver who rides home with a friend. The " +
				"hike can then close.",
			Asks:   []view.RollAsk{stays, textAsk("reason", "stays-why", "Why it stays")},
			Button: wideButton("It stays", "car stays", ui.ButtonPlain),
		})
	}
	return forms
}

// openCars are the cars that have not left, if the viewer may see plates.
func (f foldedRoll) openCars() []party.Car {
	if !f.visibility.CanSee(privacy.KindPlate) {
		return nil
	}
	return f.state.OpenCars()
}

// closing lists what keeps the hike open, once the party has left.
func (f foldedRoll) closing() *ui.NoteText {
	if f.state.Departed.IsZero() || !f.visibility.CanSee(privacy.KindPlate) {
		return nil
	}
	if err := f.state.CanClose(); err != nil {
		words := format.SentenceCase(strings.TrimPrefix(err.Error(), "the hike stays open: "))
		return &ui.NoteText{Kind: ui.NoteCaution, Title: "What keeps it open", Points: strings.Split(words, "; ")}
	}
	return &ui.NoteText{
		Title: "Everything is accounted for",
		Text: "Every name, every pair that left early and every car; on-call has stood down. " +
			"The hike can be closed.",
	}
}
