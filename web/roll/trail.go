package roll

import (
	"fmt"
	"slices"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/watch"
	"saltbush/web/kit"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// trailForms are the records that are made on the way beside the counts.
func (f rollFolded) trailForms() []view.RollForm {
	return []view.RollForm{f.atCar(), f.againForm(), f.splitForm(), f.rejoinForm(),
		{Key: "delay", Title: "Later than planned", Text: "Moves the watch time, and nothing else does. Heat, light and water wait for nobody.", Event: f.event(),
			Asks: []view.RollAsk{
				{As: "number", Field: ui.Field{Name: "minutes", ID: "delay-minutes", Label: "How much later", Unit: "minutes", Short: true}},
				{As: "text", Field: ui.Field{Name: "reason", ID: "delay-why", Label: "Why"}}},
			Button: wideButton("Write the delay", "delayed")},
		{Key: "thunder", Title: "Thunder heard", Text: "Off ridges, away from lone trees, apart from one another, out of the wash. Resume no sooner than 30 minutes after the last thunder.",
			Event: f.event(), Button: ui.ButtonText{Label: "Thunder now", Kind: ui.ButtonCaution, Name: "kind", Value: "thunder", Wide: true}},
	}
}

func (f rollFolded) atCar() view.RollForm {
	anyLeft := false
	for _, p := range f.state.People {
		anyLeft = anyLeft || p.Where == party.WhereLeftEarly
	}
	return view.RollForm{Key: "at-car", Title: "They are at the car", Text: "Both of a pair, and how we know.", Event: f.event(), Hidden: !anyLeft,
		Asks: []view.RollAsk{f.ticks("person", "car-who", "Who", f.confirmNote, party.WhereLeftEarly),
			{As: "text", Field: ui.Field{Name: "reason", ID: "car-how", Label: "How we know, and from whom"}}},
		Button: wideButton("They are at the car", "at the car")}
}

// againForm takes somebody who left early back into the number.
func (f rollFolded) againForm() view.RollForm {
	gone := []party.Whereabouts{party.WhereLeftEarly, party.WhereAtCar}
	form := view.RollForm{Key: "again", Title: "They are with us again", Text: "One person at a time: the number that a count should give rises at that moment. Count again when they are with you.",
		Event: f.event(), Hidden: true, Button: wideButton("They walk with us again", "joined again"),
		Asks: []view.RollAsk{f.who("person", "again-who", "Who is back", gone...), {As: "place", Field: f.placeOf("again-where", "Where they met the group")}}}
	for _, p := range f.state.People {
		form.Hidden = form.Hidden && !slices.Contains(gone, p.Where)
	}
	return form
}

func (f rollFolded) confirmNote(p party.Person) string {
	if p.ConfirmBy.IsZero() {
		return "nobody said how long the way is"
	}
	return "treat as missing from " + format.Clock(p.ConfirmBy, f.Zone())
}

func (f rollFolded) splitForm() view.RollForm {
	n := len(f.state.OnTrail())
	return view.RollForm{Key: "split", Title: "Split into two parties", Hidden: n < 4, Event: f.event(),
		Text: "Each party with its own staff, a second adult, a number that was counted, and a place and time to meet. Otherwise walk together.",
		Asks: []view.RollAsk{
			{As: "place", Field: f.placeOf("split-where", "Where you part")},
			f.ticks("second", "split-second", "Who walks in the second party", roleOf, party.WhereOut),
			{As: "text", Field: ui.Field{Name: "first_name", ID: "split-first", Label: "First party is called", Value: "front party"}},
			{As: "number", Field: ui.Field{Name: "first_number", ID: "split-first-n", Label: "Counted in the first", Short: true}},
			{As: "text", Field: ui.Field{Name: "second_name", ID: "split-second-name", Label: "Second party is called", Value: "back party"}},
			{As: "number", Field: ui.Field{Name: "second_number", ID: "split-second-n", Label: "Counted in the second", Short: true}},
			{As: "text", Field: ui.Field{Name: "meet", ID: "split-meet", Label: "Where you meet again"}},
			{As: "number", Field: ui.Field{Name: "meet_in", ID: "split-in", Label: "And in how long", Unit: "minutes", Short: true}},
		}, Button: ui.ButtonText{Label: "We split now", Kind: ui.ButtonCaution, Name: "kind", Value: "split", Wide: true}}
}

func roleOf(p party.Person) string { return p.Role }

// rejoinForm has a number for each party; without signal the script fills in the names.
func (f rollFolded) rejoinForm() view.RollForm {
	form := view.RollForm{Key: "rejoin", Title: "Together again", Text: "Count each party by itself before they mix. Tick who is there, and the names that are left are where to look.",
		Hidden: len(f.state.Parties) == 0, Event: f.event(), Asks: []view.RollAsk{{As: "place", Field: f.placeOf("rejoin-where", "Where you met")}},
		Button: wideButton("Write both numbers", "rejoined")}
	for i := range max(2, len(f.state.Parties)) {
		name, label := "", "Counted"
		if i < len(f.state.Parties) {
			p := f.state.Parties[i]
			name, label = p.Name, fmt.Sprintf("%s, %d expected: counted", p.Name, p.Expected)
		}
		form.Asks = append(form.Asks, view.RollAsk{As: "party", Field: ui.Field{Name: "party_number", ID: fmt.Sprintf("rejoin-%d", i), Label: label, Value: name}})
	}
	form.Asks = append(form.Asks, f.ticks("there", "rejoin-there", "Who is there (where a number is wrong)", func(p party.Person) string { return p.Party }, party.WhereOut))
	return form
}

func (f rollFolded) placeOf(id, label string) ui.Field {
	q := f.placeField(id, label)
	q.Value = ""
	return q
}

// partyField asks of which party a count is, where there are parties.
func (f rollFolded) partyField() ui.Field {
	q := ui.Field{Name: "party", ID: "count-party", Label: "Who is counted", Options: []ui.Option{{Value: "", Label: "Everyone"}}}
	for _, p := range f.state.Parties {
		q.Options = append(q.Options, ui.Option{Value: p.Name, Label: fmt.Sprintf("%s, %d expected", p.Name, p.Expected)})
	}
	return q
}

// seen is where everybody was last agreed on.
func (f rollFolded) seen() ui.LedgerText {
	l := ui.LedgerText{Columns: []ui.Column{{Label: "Name"}, {Label: "Where"}, {Label: "Last agreed"}}, Cards: true}
	for _, p := range f.state.People {
		if p.Where == party.WhereAbsent || p.Where == party.WhereTurnedAway || f.state.Departed.IsZero() {
			continue
		}
		note := p.Party
		if p.Confirmed != "" {
			note = "confirmed by " + p.Confirmed
		}
		l.Rows = append(l.Rows, []ui.Cell{{Text: p.Name, Note: p.Role}, {Text: string(p.Where), Note: note}, {Text: format.OrElse(kit.LastWords(p, f.Zone()), "never")}})
	}
	return l
}

// trailAlerts are the clocks of the trail: thunder, and early leavers of whom nothing is
// heard.
func (f rollFolded) trailAlerts(now time.Time) []ui.NoteText {
	var notes []ui.NoteText
	if until := watch.ResumeAfterThunder(f.state.Thunder...); now.Before(until) && !f.state.AllAccounted {
		notes = append(notes, ui.NoteText{Kind: ui.NoteCaution, Title: "Thunder: resume no sooner than " + format.Clock(until, f.Zone()),
			Text: "Thirty minutes after the last thunder. The watch time stays where it is until a delay is written below."})
	}
	var late []string
	for _, p := range f.state.People {
		if p.Where == party.WhereLeftEarly && !p.ConfirmBy.IsZero() && !now.Before(p.ConfirmBy) {
			late = append(late, p.Name)
		}
	}
	if len(late) > 0 {
		notes = append(notes, ui.NoteText{Kind: ui.NoteGrave, Title: "Left early and not heard of: treat as missing",
			Text: format.NamesShort(late) + ": twice the expected walk is over. Ring them, ask somebody to look at the lot, then record them missing under Help."})
	}
	return notes
}
