package roll

import (
	"strconv"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/phone"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// gate shows the checks before the party leaves, as the server last knew them.
func (f foldedRoll) gate(now time.Time) *view.RollGate {
	g := f.rec.Gate(f.route(), now)
	page := &view.RollGate{
		Hidden: !f.state.Departed.IsZero(),
		AsOf: "As last heard from the server at " + f.clock(now) +
			". Marks made on a phone since are not in it.",
		Water: f.rec.Terms.WaterLines(g.Water, f.state.Stock),
	}
	for _, c := range g.Checks {
		page.Checks = append(page.Checks, view.RollCheck{Stamp: gradeStamp(c.Grade), Title: c.Title, Words: c.Words})
	}
	return page
}

// route is the route chosen in the form, by default the full one.
func (f foldedRoll) route() party.Route {
	if v := f.form.Values["route"]; len(v) > 0 && v[0] == string(party.RouteShort) {
		return party.RouteShort
	}
	return party.RouteFull
}

func gradeStamp(g party.Grade) ui.StampText {
	switch g {
	case party.Fine:
		return ui.StampText{Word: string(g), Look: ui.LookLeaf, Mark: ui.MarkTick}
	case party.Warn:
		return ui.StampText{Word: string(g), Look: ui.LookOchre, Mark: ui.MarkTalk}
	case party.Block:
		return ui.StampText{Word: string(g), Look: ui.LookClay, Mark: ui.MarkHillFull}
	}
	return ui.StampText{Word: string(g), Look: ui.LookPencil, Mark: ui.MarkQuestion}
}

// litres writes water in metric, as bottles are labeled.
func litres(v unit.Volume) string { return format.Volume(v, format.Metric) }

// startForms are the events at the trailhead besides the marks.
func (f foldedRoll) startForms() []view.RollForm {
	look, left := "Look into the packs.", !f.state.Departed.IsZero()
	var forms []view.RollForm
	if need := f.rec.Terms.Full.Need; f.rec.Terms.Planned {
		look += " The full route needs " + litres(need) + " each."
		forms = append(forms, f.allWaterForm(need, left))
	}
	forms = append(forms, []view.RollForm{
		{
			Key: "water", Hidden: left, Title: "Water they have with them", Text: look, Event: f.newEvent(),
			Asks: []view.RollAsk{
				numberAsk("litres", "water-litres", "Each has", "liters"),
				f.ticks("person", "water-who", "Who", f.waterNote, party.WhereHere),
				optional(numberAsk("gives", "water-gives",
					"Each gives away, of what is above their own need", "liters")),
			},
			Button: wideButton("Write the water", "water", ui.ButtonPlain),
		},
		{
			Key: "stock", Hidden: left, Title: "Spare water in the leader's car", Event: f.newEvent(),
			Text:   "Without the group reserve: that is carried, and never used to start with.",
			Asks:   []view.RollAsk{numberAsk("litres", "stock-litres", "Spare in the car", "liters")},
			Button: wideButton("Write the stock", "stock", ui.ButtonPlain),
		},
	}...)
	if minors := f.minors(); len(minors.People) > 0 {
		forms = append(forms, view.RollForm{
			Key: "charge", Hidden: left, Title: "Who answers for a minor", Event: f.newEvent(),
			Text: "One adult, who walks with them, for three minors at most.",
			Asks: []view.RollAsk{
				minors, f.who("buddy", "charge-adult", "The adult", party.WhereHere, party.WhereExpected),
			},
			Button: wideButton("They answer for them", "in charge", ui.ButtonPlain),
		})
	}
	return forms
}

// allWaterForm records with one tap that everybody who is here, and whose water nobody has looked at,
// has what the full route needs.
func (f foldedRoll) allWaterForm(need unit.Volume, left bool) view.RollForm {
	hidden := func(name, value string) view.RollAsk {
		return view.RollAsk{As: "hidden", Field: ui.Field{Name: name, Value: value}}
	}
	return view.RollForm{
		Key: "water-all", Hidden: left, Open: true, Title: "Water check", Event: f.newEvent(),
		Text: "Ask everybody to hold up their " + litres(need) +
			". Whoever has less: record it below, before or after.",
		Asks: []view.RollAsk{
			hidden("all", allHere), hidden("litres", strconv.FormatFloat(need.Litres(), 'f', -1, 64)),
		},
		Button: wideButton("Everybody showed "+litres(need), "water", ui.ButtonMain),
	}
}

func (f foldedRoll) waterNote(p party.Person) string {
	if p.Water.Known {
		return "seen: " + litres(p.Water.Litres)
	}
	for _, s := range f.SignUps {
		if s.ID == string(p.ID) {
			return "not looked at; said " + litres(s.Water)
		}
	}
	return "not looked at"
}

func (f foldedRoll) minors() view.RollAsk {
	ask := view.RollAsk{
		As: "ticks", Field: ui.Field{Name: "person", ID: "charge-minor", Label: "Minors"},
		Places: placesWord([]party.Whereabouts{party.WhereExpected, party.WhereHere}),
	}
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

func (f foldedRoll) depart(now time.Time) *view.RollDepart {
	d := &view.RollDepart{
		Event: f.newEvent(), Blocked: f.rec.Gate(f.route(), now).Blocked(),
		Says: phone.LeaveWords(f.state), Hidden: !f.state.Departed.IsZero(),
		Reason: f.form.Bind(ui.Field{
			Name: "reason", ID: "depart-reason", Label: "Reason to leave all the same",
			Hint: "Kept with the departure.",
		}),
	}
	if names := f.state.Unmarked(); len(names) > 0 {
		d.Missing = append(d.Missing, "No answer yet: "+format.NamesShort(names)+". Mark each here or not here.")
	}
	if f.Plan == nil {
		d.Missing = append(d.Missing, "There is no plan: no watch time, no call time.")
	}
	if short := f.rec.Terms.Short; short != nil {
		d.Route = f.form.Bind(ui.Field{Name: "route", ID: "depart-route", Label: "Which way", Options: []ui.Option{
			{Value: string(party.RouteFull), Label: "Full route", Selected: true},
			{Value: string(party.RouteShort), Label: "Short option" + short.TurnsAt()},
		}})
	}
	return d
}

func (f foldedRoll) walkUp() *view.RollWalkup {
	bind := f.form.Bind
	return &view.RollWalkup{
		Event: f.newEvent(), Says: f.walkUpTerms(),
		Name:       bind(ui.Field{Name: "name", ID: "walkup-name", Label: "Name"}),
		Mobile:     bind(ui.Field{Name: "mobile", ID: "walkup-mobile", Label: "Mobile", Kind: "tel"}),
		Contact:    bind(ui.Field{Name: "contact", ID: "walkup-contact", Label: "Who should we call?"}),
		ContactTel: bind(ui.Field{Name: "contact_tel", ID: "walkup-tel", Label: "Their phone number", Kind: "tel"}),
		Water: bind(ui.Field{
			Name: "water", ID: "walkup-water", Label: "Water they carry", Unit: "liters", Short: true,
		}),
		Age: bind(ui.Field{Name: "age", ID: "walkup-age", Label: "18 or over?", Options: []ui.Option{
			{Value: "adult", Label: "Yes"}, {Value: "minor", Label: "No, a guardian is here and agrees"},
		}}),
		Agree: bind(ui.Field{Name: "agree", ID: "walkup-agree", Label: "They heard the risks read out and agree."}),
	}
}

// walkUpTerms says on what terms somebody may join at the trailhead.
func (f foldedRoll) walkUpTerms() string {
	says := "Only with a place free, the talk done, and water and shoes seen."
	if f.Plan != nil {
		says = "Only with a place free, the talk done, and " +
			format.Amount(f.Plan.Water.Carry.Litres(), 1, "litres") + " and shoes seen."
	}
	if free := f.rec.Hike.Places - f.Data.Count(signup.Confirmed); free > 0 {
		return says + " " + format.Count(free, "place was", "places were") +
			" free when this page was last heard from."
	}
	return says + " All places are taken: without signal the answer is no."
}

func (f foldedRoll) away() *view.RollAway {
	reason := func(words string) ui.Option {
		return ui.Option{Value: strings.ToLower(words[:1]) + words[1:], Label: words}
	}
	return &view.RollAway{
		Event: f.newEvent(),
		Who: ui.Field{
			Name: "person", ID: "away-who", Label: "Who", Options: f.options(party.WhereExpected, party.WhereHere),
		},
		Reason: ui.Field{Name: "reason", ID: "away-why", Label: "Why", Options: []ui.Option{
			reason("Too little water"), reason("Shoes"), reason("Not well today"), reason("Decided it themselves"),
		}},
	}
}
