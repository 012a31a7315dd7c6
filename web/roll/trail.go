package roll

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/web/kit"
	"saltbush/web/roll/view"
	"saltbush/web/ui"
)

// trailForms are the events on the trail besides the counts.
func (f foldedRoll) trailForms() []view.RollForm {
	return []view.RollForm{
		f.atCarForm(), f.againForm(), f.splitForm(), f.rejoinForm(),
		{
			Key: "delay", Title: "Later than planned", Event: f.newEvent(),
			Text: "Moves the watch time, and nothing else does. Heat, light and water wait for nobody.",
			Asks: []view.RollAsk{
				numberAsk("minutes", "delay-minutes", "How much later", "minutes"),
				textAsk("reason", "delay-why", "Why"),
			},
			Button: wideButton("Write the delay", "delayed", ui.ButtonPlain),
		},
		{
			Key: "thunder", Title: "Thunder heard", Event: f.newEvent(),
			Text: "Off ridges, away from lone trees, apart from one another, out of the wash. " +
				"Resume no sooner than 30 minutes after the last thunder.",
			Button: wideButton("Thunder now", "thunder", ui.ButtonCaution),
		},
	}
}

func (f foldedRoll) atCarForm() view.RollForm {
	return view.RollForm{
		Key: "at-car", Title: "They are at the car", Text: "Both of a pair, and how we know.", Event: f.newEvent(),
		Hidden: f.countIn(party.WhereLeftEarly) == 0,
		Asks: []view.RollAsk{
			f.ticks("person", "car-who", "Who", f.confirmNote, party.WhereLeftEarly),
			textAsk("reason", "car-how", "How we know, and from whom"),
		},
		Button: wideButton("They are at the car", "at the car", ui.ButtonPlain),
	}
}

// againForm takes somebody who left early back into the group.
func (f foldedRoll) againForm() view.RollForm {
	gone := []party.Whereabouts{party.WhereLeftEarly, party.WhereAtCar}
	return view.RollForm{
		Key: "again", Title: "They are with us again", Event: f.newEvent(),
		Text: "One person at a time: the number that a count should give rises at that moment. " +
			"Count again when they are with you.",
		Hidden: f.countIn(gone...) == 0,
		Asks: []view.RollAsk{
			f.who("person", "again-who", "Who is back", gone...),
			f.placeAsk("again-where", "Where they met the group"),
		},
		Button: wideButton("They walk with us again", "joined again", ui.ButtonPlain),
	}
}

func (f foldedRoll) confirmNote(p party.Person) string {
	if p.ConfirmBy.IsZero() {
		return "nobody said how long the way is"
	}
	return "treat as missing from " + f.clock(p.ConfirmBy)
}

func (f foldedRoll) splitForm() view.RollForm {
	called := func(name, id, label, value string) view.RollAsk {
		a := textAsk(name, id, label)
		a.Value = value
		return a
	}
	role := func(p party.Person) string { return p.Role }
	return view.RollForm{
		Key: "split", Title: "Split into two parties", Hidden: len(f.state.OnTrail()) < 4, Event: f.newEvent(),
		Text: "Each party with its own staff, a second adult, a number that was counted, " +
			"and a place and time to meet. Otherwise walk together.",
		Asks: []view.RollAsk{
			f.placeAsk("split-where", "Where you part"),
			f.ticks("second", "split-second", "Who walks in the second party", role, party.WhereOut),
			called("first_name", "split-first", "First party is called", "front party"),
			numberAsk("first_number", "split-first-n", "Counted in the first", ""),
			called("second_name", "split-second-name", "Second party is called", "back party"),
			numberAsk("second_number", "split-second-n", "Counted in the second", ""),
			textAsk("meet", "split-meet", "Where you meet again"),
			numberAsk("meet_in", "split-in", "And in how long", "minutes"),
		},
		Button: wideButton("We split now", "split", ui.ButtonCaution),
	}
}

// rejoinForm has a number for each party. Without signal the script fills in the names.
func (f foldedRoll) rejoinForm() view.RollForm {
	form := view.RollForm{
		Key: "rejoin", Title: "Together again", Hidden: len(f.state.Parties) == 0, Event: f.newEvent(),
		Text: "Count each party by itself before they mix. " +
			"Tick who is there, and the names that are left are where to look.",
		Asks:   []view.RollAsk{f.placeAsk("rejoin-where", "Where you met")},
		Button: wideButton("Write both numbers", "rejoined", ui.ButtonPlain),
	}
	for i := range max(2, len(f.state.Parties)) {
		name, label := "", "Counted"
		if i < len(f.state.Parties) {
			p := f.state.Parties[i]
			name, label = p.Name, fmt.Sprintf("%s, %d expected: counted", p.Name, p.Expected)
		}
		form.Asks = append(form.Asks, view.RollAsk{As: "party", Field: ui.Field{
			Name: "party_number", ID: fmt.Sprintf("rejoin-%d", i), Label: label, Value: name,
		}})
	}
	group := func(p party.Person) string { return p.Party }
	form.Asks = append(form.Asks,
		f.ticks("there", "rejoin-there", "Who is there (where a number is wrong)", group, party.WhereOut))
	return form
}

func (f foldedRoll) headcount() *view.RollCount {
	c := &view.RollCount{
		Event: f.newEvent(), Expected: fmt.Sprintf("%d expected", f.state.Expected), NoneYet: "No count yet.",
		Place:  f.placeField("count-place", "Where"),
		Leader: f.form.Bind(ui.Field{Name: "leader", ID: "count-leader", Label: "Leader counts", Min: "0"}),
		Sweep: f.form.Bind(ui.Field{
			Name: "sweep", ID: "count-sweep", Label: "Sweep counts", Min: "0", Optional: true,
		}),
		Party: f.partyField(), Named: f.ticks("person", "count-named", "Who is there", nil, party.WhereOut),
		Done: ui.LedgerText{Caption: "Counts so far", Columns: []ui.Column{
			{Label: "At"}, {Label: "Where"}, {Label: "Leader", Figure: true}, {Label: "Sweep", Figure: true},
		}},
	}
	for _, x := range slices.Backward(f.state.Counts) {
		c.Done.Rows = append(c.Done.Rows, []ui.Cell{
			{Text: f.clock(x.At)}, {Text: x.Place, Note: x.Party},
			{Text: numberOrDash(x.Leader)}, {Text: numberOrDash(x.Sweep)},
		})
	}
	return c
}

// numberOrDash shows a count that nobody gave as a dash, not as nobody.
func numberOrDash(n int) string {
	if n == 0 {
		return "-"
	}
	return strconv.Itoa(n)
}

// partyField asks which party was counted, if there are parties.
func (f foldedRoll) partyField() ui.Field {
	q := ui.Field{
		Name: "party", ID: "count-party", Label: "Who is counted",
		Options: []ui.Option{{Value: "", Label: "Everyone"}},
	}
	for _, p := range f.state.Parties {
		label := fmt.Sprintf("%s, %d expected", p.Name, p.Expected)
		q.Options = append(q.Options, ui.Option{Value: p.Name, Label: label})
	}
	return q
}

func (f foldedRoll) early() *view.RollEarly {
	return &view.RollEarly{
		Event: f.newEvent(),
		Who:   ui.Field{Name: "person", ID: "early-who", Label: "Who leaves", Options: f.options(party.WhereOut)},
		Buddy: ui.Field{
			Name: "buddy", ID: "early-buddy", Label: "Who walks with them", Options: f.options(party.WhereOut),
		},
		Where: f.placeField("early-where", "Where they leave"),
		Going: f.form.Bind(ui.Field{
			Name: "going", ID: "early-going", Label: "Where they go, and how we hear that they are there",
		}),
		Minutes: f.form.Bind(ui.Field{
			Name: "minutes", ID: "early-minutes", Label: "How long they need", Unit: "minutes", Short: true,
			Hint: "No word after twice that: treated as missing.",
		}),
	}
}

// seen lists where everybody was last confirmed.
func (f foldedRoll) seen() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Name"}, {Label: "Where"}, {Label: "Last agreed"}}}
	if f.state.Departed.IsZero() {
		return l
	}
	for _, p := range f.state.People {
		if p.Where == party.WhereAbsent || p.Where == party.WhereTurnedAway {
			continue
		}
		note := p.Party
		if p.Confirmed != "" {
			note = "confirmed by " + p.Confirmed
		}
		l.Rows = append(l.Rows, []ui.Cell{
			{Text: p.Name, Note: p.Role}, {Text: string(p.Where), Note: note},
			{Text: format.OrElse(kit.LastWords(p, f.Zone()), "never")},
		})
	}
	return l
}

// trailAlerts are about what the party goes without.
func (f foldedRoll) trailAlerts() []ui.NoteText {
	w := f.rec.Hike.OnCallWarning(f.state.Departure)
	if w == "" || f.state.AllAccounted {
		return nil
	}
	return []ui.NoteText{{Kind: ui.NoteCaution, Title: "Nobody on call can be reached", Text: w}}
}

// thunder says when the party may go on. It is shown while the party waits.
func (f foldedRoll) thunder(now time.Time) view.RollThunder {
	const title = "Thunder: resume no sooner than "
	return view.RollThunder{
		Shown: f.state.WaitsForThunder(now), Title: title,
		Note: ui.NoteText{
			Kind: ui.NoteCaution, Title: title + f.clock(f.state.ResumeAt()),
			Text: "Wait 30 minutes after the last thunder; if you hear it again, start over. " +
				"The watch time does not change until you record a delay below.",
		},
	}
}
