package roll

import (
	"fmt"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/roll"
	"saltbush/internal/supply"
	"saltbush/internal/unit"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// gate is what is looked at before the party leaves, as the server saw it last.
func (f rollFolded) gate(now time.Time) *view.RollGate {
	g := roll.GateOf(f.rec, f.route())
	page := &view.RollGate{AsOf: "As last heard from the server at " + format.Clock(now, f.Zone()) + ". Marks made on a phone since are not in it.", Water: f.waterSays(g)}
	for _, c := range g.Checks {
		page.Checks = append(page.Checks, view.RollCheck{Stamp: gradeStamp(c.Grade), Title: c.Title, Words: c.Words})
	}
	return page
}

// route is the way that was chosen in the form, the full one where none was.
func (f rollFolded) route() party.Route {
	if v := f.a.Values["route"]; len(v) > 0 && v[0] == string(party.RouteShort) {
		return party.RouteShort
	}
	return party.RouteFull
}

func gradeStamp(g roll.Grade) ui.StampText {
	switch g {
	case roll.Fine:
		return ui.StampText{Word: string(g), Look: ui.LookLeaf, Mark: ui.MarkTick}
	case roll.Warn:
		return ui.StampText{Word: string(g), Look: ui.LookOchre, Mark: ui.MarkTalk}
	case roll.Block:
		return ui.StampText{Word: string(g), Look: ui.LookClay, Mark: ui.MarkHillFull}
	}
	return ui.StampText{Word: string(g), Look: ui.LookPencil, Mark: ui.MarkQuestion}
}

// waterSays tells who can go on which route with the water that is there.
func (f rollFolded) waterSays(g roll.Gate) []string {
	if !f.rec.Terms.Planned {
		return nil
	}
	w, terms := g.Water, f.rec.Terms
	lines := []string{fmt.Sprintf("Full route, %s each: %s.", f.litres(terms.Full.Need), f.goers(w.Full))}
	if s := terms.Short; s != nil {
		lines = append(lines, fmt.Sprintf("Short option%s, %s each: %s.", turnsAt(s.Name), f.litres(s.Need), f.goers(w.Short)))
	}
	if len(w.Neither) > 0 {
		lines = append(lines, "On neither: "+strings.Join(w.Neither, ", ")+". They stay behind, unless somebody gives water they hold above their own need.")
	}
	if len(w.Tied) > 0 {
		lines = append(lines, "They lack the same and there is not enough for all of them: "+strings.Join(w.Tied, ", ")+". The leader chooses.")
	}
	if len(w.Unknown) > 0 {
		lines = append(lines, "Not looked at: "+strings.Join(w.Unknown, ", ")+".")
	}
	stock := "not looked at"
	if f.state.Stock.Known {
		stock = f.litres(f.state.Stock.Litres)
	}
	return append(lines, "Spare in the leader's car: "+stock+". The carried group reserve is never used to start with.")
}

func turnsAt(name string) string {
	if name == "" {
		return ""
	}
	return " to " + name
}

func (f rollFolded) litres(v unit.Volume) string { return format.Volume(v, format.Metric) }

func (f rollFolded) goers(list []supply.Portion) string {
	var names []string
	for _, p := range list {
		if p.Takes > 0 {
			names = append(names, p.Name+" with "+f.litres(p.Takes)+" from the car")
		} else {
			names = append(names, p.Name)
		}
	}
	if len(names) == 0 {
		return "nobody more"
	}
	return strings.Join(names, ", ")
}

// startForms are the records that are made at the trailhead beside the marks.
func (f rollFolded) startForms() []view.RollForm {
	need := ""
	if f.rec.Terms.Planned {
		need = " The full route needs " + f.litres(f.rec.Terms.Full.Need) + " each."
	}
	forms := []view.RollForm{{Key: "water", Title: "Water they have with them", Text: "Look into the packs." + need, Event: f.event(),
		Asks: []view.RollAsk{
			{As: "number", Field: ui.Field{Name: "litres", ID: "water-litres", Label: "Each has", Unit: "litres", Short: true}},
			f.ticks("person", "water-who", "Who", f.waterNote, party.WhereHere),
			{As: "number", Field: ui.Field{Name: "gives", ID: "water-gives", Label: "Each gives away, of what is above their own need", Unit: "litres", Short: true, Optional: true}},
		}, Button: wideButton("Write the water", "water")},
		{Key: "stock", Title: "Spare water in the leader's car", Text: "Without the group reserve: that is carried, and never used to start with.", Event: f.event(),
			Asks:   []view.RollAsk{{As: "number", Field: ui.Field{Name: "litres", ID: "stock-litres", Label: "Spare in the car", Unit: "litres", Short: true}}},
			Button: wideButton("Write the stock", "stock")}}
	if minors := f.minors(); len(minors.People) > 0 {
		forms = append(forms, view.RollForm{Key: "charge", Title: "Who answers for a minor", Text: "One adult, who walks with them, for three minors at most.", Event: f.event(),
			Asks:   []view.RollAsk{minors, f.who("buddy", "charge-adult", "The adult", party.WhereHere, party.WhereExpected)},
			Button: wideButton("They answer for them", "in charge")})
	}
	return forms
}

func (f rollFolded) waterNote(p party.Person) string {
	if p.Water.Known {
		return "seen: " + f.litres(p.Water.Litres)
	}
	for _, s := range f.SignUps {
		if s.ID == string(p.ID) {
			return "not looked at; said " + f.litres(s.Water)
		}
	}
	return "not looked at"
}

func (f rollFolded) minors() view.RollAsk {
	ask := view.RollAsk{As: "ticks", Field: ui.Field{Name: "person", ID: "charge-minor", Label: "Minors"}, Places: "expected|here"}
	for _, p := range f.state.People {
		if !p.Minor || p.Where == party.WhereAbsent || p.Where == party.WhereTurnedAway {
			continue
		}
		note := "nobody yet"
		if adult, known := f.state.ResponsibleOf(p.ID); known {
			note = "with " + adult.Name
		}
		ask.People = append(ask.People, view.RollTick{ID: string(p.ID), Name: p.Name, Note: note})
	}
	return ask
}

func wideButton(label, kind string) ui.ButtonText {
	return ui.ButtonText{Label: label, Name: "kind", Value: kind, Wide: true}
}

// ticks lists everybody with a box, out of sight where they are elsewhere: a phone without
// signal shows them when they come.
func (f rollFolded) ticks(name, id, label string, note func(party.Person) string, in ...party.Whereabouts) view.RollAsk {
	ask := view.RollAsk{As: "ticks", Field: ui.Field{Name: name, ID: id, Label: label}, Places: placesWord(in)}
	for _, p := range f.state.People {
		t := view.RollTick{ID: string(p.ID), Name: p.Name, Hidden: true, Party: p.Party}
		for _, w := range in {
			t.Hidden = t.Hidden && p.Where != w
		}
		if note != nil {
			t.Note = note(p)
		}
		ask.People = append(ask.People, t)
	}
	return ask
}

// who is a list to choose one person from.
func (f rollFolded) who(name, id, label string, in ...party.Whereabouts) view.RollAsk {
	return view.RollAsk{As: "people", Places: placesWord(in), Field: ui.Field{Name: name, ID: id, Label: label, Options: f.options(func(p party.Person) bool {
		for _, w := range in {
			if p.Where == w {
				return true
			}
		}
		return false
	})}}
}

// placesWord joins whereabouts, some of which have commas in them.
func placesWord(in []party.Whereabouts) string {
	words := make([]string, len(in))
	for i, w := range in {
		words[i] = string(w)
	}
	return strings.Join(words, "|")
}
