package roll

import (
	"slices"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

func textAsk(name, id, label string) view.RollAsk {
	return view.RollAsk{As: "text", Field: ui.Field{Name: name, ID: id, Label: label}}
}

func numberAsk(name, id, label, unit string) view.RollAsk {
	return view.RollAsk{As: "number", Field: ui.Field{Name: name, ID: id, Label: label, Unit: unit, Short: true}}
}

func optional(a view.RollAsk) view.RollAsk {
	a.Optional = true
	return a
}

func kindButton(label, kind string, look ui.ButtonKind) ui.ButtonText {
	return ui.ButtonText{Label: label, Kind: look, Name: "kind", Value: kind}
}

// wideButton is a button across the whole form.
func wideButton(label, kind string, look ui.ButtonKind) ui.ButtonText {
	b := kindButton(label, kind, look)
	b.Wide = true
	return b
}

// ticks lists everybody on the roll with a box. People who are not in one of the whereabouts
// are hidden; the script shows them when they get there.
func (f foldedRoll) ticks(
	name, id, label string, note func(party.Person) string, in ...party.Whereabouts,
) view.RollAsk {
	ask := view.RollAsk{As: "ticks", Field: ui.Field{Name: name, ID: id, Label: label}, Places: placesWord(in)}
	for _, p := range f.state.People {
		t := view.RollTick{ID: string(p.ID), Name: p.Name, Hidden: !isIn(p, in), Party: p.Party}
		if note != nil {
			t.Note = note(p)
		}
		ask.People = append(ask.People, t)
	}
	return ask
}

// who is a list to choose one person from, of those in one of the whereabouts.
func (f foldedRoll) who(name, id, label string, in ...party.Whereabouts) view.RollAsk {
	return view.RollAsk{
		As: "people", Places: placesWord(in),
		Field: ui.Field{Name: name, ID: id, Label: label, Options: f.options(in...)},
	}
}

func (f foldedRoll) options(in ...party.Whereabouts) []ui.Option {
	options := []ui.Option{{Value: "", Label: "choose"}}
	for _, p := range f.state.People {
		if isIn(p, in) {
			options = append(options, ui.Option{Value: string(p.ID), Label: p.Name})
		}
	}
	return options
}

func isIn(p party.Person, in []party.Whereabouts) bool { return slices.Contains(in, p.Where) }

// placesWord joins whereabouts for the script. Some of them contain commas.
func placesWord(in []party.Whereabouts) string { return format.Join(in, "|") }

// placeField offers the trail's points, if it has any.
func (f foldedRoll) placeField(id, label string) ui.Field {
	q := ui.Field{Name: "place", ID: id, Label: label}
	if len(f.Trail.Points) > 0 {
		q.Options = []ui.Option{{Value: "", Label: "choose"}}
		for _, p := range f.Trail.Points {
			q.Options = append(q.Options, ui.Option{Value: p.Name, Label: p.Name})
		}
		q.Options = append(q.Options, ui.Option{Value: "on the way", Label: "Somewhere else on the way"})
	}
	return f.form.Bind(q)
}

// placeAsk is placeField without what was typed in another form of the page.
func (f foldedRoll) placeAsk(id, label string) view.RollAsk {
	q := f.placeField(id, label)
	q.Value = ""
	return view.RollAsk{As: "place", Field: q}
}
