package storybook

import (
	"saltbush/internal/format"
	"saltbush/web/signups"
	signupsview "saltbush/web/signups/view"
	"saltbush/web/ui"
	watchview "saltbush/web/watch/view"
)

// cardPages lists the states of the pages of medical cards, drawn from fixed data.
func cardPages() []StatePage {
	noKey := signupsview.CardFormPage{Page: samplePrivatePage("Your medical card"),
		Hike: "Quail Wash at first light, Sunday 10 May 2026", Person: "Amaya Reyes",
		URL: "/place/K7QX/card", BackURL: "/place/K7QX#card", Fields: signups.CardForm().Fields(ui.FormState{}),
		NoKey: true}
	lost, over := cardFormSample(ui.FormState{}), cardFormSample(ui.FormState{})
	lost.Lost = true
	over.Refused = "This hike is over. Its medical cards are not written any more."
	unread := cardOpenSample()
	unread.Action, unread.Lines, unread.Unread = "", nil, true
	none := signupsview.PlaceCard{URL: "/place/K7QX/card"}
	place := placeSample()
	place.Card = none
	return []StatePage{
		{"card-form", "Medical card, written by its person", signupsview.CardForm(cardFormSample(cardWritten()))},
		{"card-form-wrong", "Medical card, came back", signupsview.CardForm(cardFormSample(ui.FormState{
			Values: map[string][]string{"action": {"Sugar, then call."}, "born": {"April 1961"}},
			Errors: map[string]string{"born": "Give the date, such as 1961-04-30."}}))},
		{"card-form-no-key", "Medical card, nothing can be sealed", signupsview.CardForm(noKey)},
		{"card-form-lost", "Medical card, its key was lost", signupsview.CardForm(lost)},
		{"card-form-over", "Medical card, the hike is over", signupsview.CardForm(over)},
		{"card-none", "Place: no medical card", signupsview.Place(place)},
		{"card-ask", "Why a card is opened", watchview.CardAsk(cardAskSample(ui.FormState{}))},
		{"card-ask-wrong", "Why a card is opened, came back", watchview.CardAsk(cardAskSample(ui.FormState{
			Values: map[string][]string{"reason": {"because"}},
			Errors: map[string]string{"reason": "Write why you open it, in a few words: the person reads them."}}))},
		{"card-open", "An opened card", watchview.CardOpen(cardOpenSample())},
		{"card-unread", "A card that cannot be read", watchview.CardOpen(unread)},
		{"cards", "Openings, as the safety officer sees them", watchview.Cards(cardsSample())},
		{"cards-none", "Openings, none, as a coordinator sees them",
			watchview.Cards(watchview.CardsPage{Page: sampleStaffPage("Medical cards", "People")})},
		{"cards-no-key", "Openings, the key is missing",
			watchview.Cards(watchview.CardsPage{Page: sampleStaffPage("Medical cards", "People"), NoKey: true,
				Safety: true})},
	}
}

func cardWritten() ui.FormState {
	return ui.FormState{Values: map[string][]string{
		"action":     {"If confused, pale or sweaty: glucose from my top pocket first, then call."},
		"carried":    {"Glucose gel in the top pocket of the red pack. Any first aider can give it."},
		"conditions": {"Diabetes, insulin since 2004."},
		"medicines":  {"Insulin before meals. It must not lie in the sun."}, "born": {"1961-04-30"}}}
}

func cardFormSample(a ui.FormState) signupsview.CardFormPage {
	return signupsview.CardFormPage{Page: samplePrivatePage("Your medical card"),
		Hike: "Quail Wash at first light, Sunday 10 May 2026", Person: "Amaya Reyes",
		URL: "/place/K7QX/card", BackURL: "/place/K7QX#card", Fields: signups.CardForm().Fields(a),
		Remove: ui.ButtonText{Label: "Delete my card", Kind: ui.ButtonGrave, URL: "/place/K7QX/card/remove"}}
}

func cardAskSample(a ui.FormState) watchview.CardAskPage {
	return watchview.CardAskPage{Page: sampleStaffPage("Open a medical card", "Board"), Person: "Amaya Reyes",
		Hike: "Quail Wash at first light", As: "leader on the day",
		Action: "If confused, pale or sweaty: glucose from my top pocket first, then call.", URL: "/hikes/12/cards/1",
		BackURL: "/hikes/12/roll", Reason: watchview.NewOpenReason(a)}
}

func cardOpenSample() watchview.CardOpenPage {
	return watchview.CardOpenPage{Page: sampleStaffPage("Medical card", "Board"), Person: "Amaya Reyes",
		Hike:   "Quail Wash at first light",
		Action: "If confused, pale or sweaty: glucose from my top pocket first, then call.",
		Lines: []format.Line{{Label: "Carries, and where",
			Value: "Glucose gel in the top pocket of the red pack; meter and spare insulin in the lid, cool pouch. " +
				"Any first aider can give the gel."},
			{Label: "Allergies", Note: "not written"}, {Label: "Conditions", Value: "Diabetes, insulin since 2004."},
			{Label: "Medicines", Value: "Insulin before meals. It must not lie in the sun."},
			{Label: "Heat, before", Value: "Cramps once, in 2019."}, {Label: "Hearing, seeing, language",
				Note: "not written"}, {Label: "Born", Value: "1961-04-30"}, {Label: "Doctor", Note: "not written"}},
		Calls: []format.Line{{Label: "Emergency number", Value: "112", URL: "tel:112", Note: "Say where first."},
			{Label: "Teo Reyes", Value: "+1 480-555-0155", URL: "tel:+14805550155",
				Note: "whom to ring for Amaya Reyes"}},
		Opened:  "Opened by Ines Calder, leader on the day, Sun 10 May, 08:40: She is pale and does not answer.",
		BackURL: "/hikes/12/roll"}
}

func cardsSample() watchview.CardsPage {
	p := sampleStaffPage("Medical cards", "Cards")
	p.Viewer.Roles = append(p.Viewer.Roles, ui.RoleSafety)
	p.Nav = ui.Nav(p.Viewer, "Cards")
	return watchview.CardsPage{Page: p, Safety: true,
		Incidents: ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Hike"}, {Label: "Day"}, {Label: "Cards"}},
			Rows: [][]ui.Cell{
				{{Text: "Quail Wash at first light"}, {Text: "Sun 10 May"},
					{Part: watchview.CardLinks([]ui.NavLink{{Label: "Amaya Reyes", URL: "/hikes/12/cards/1"},
						{Label: "Jonah Pike", URL: "/hikes/12/cards/2"}})}}}},
		Openings: ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "When"}, {Label: "Whose card"},
			{Label: "Hike"}, {Label: "Opened by"}, {Label: "Reason"}}, Rows: [][]ui.Cell{
			{{Text: "Sun 10 May, 08:40"}, {Text: "Amaya Reyes"}, {Text: "Quail Wash at first light"},
				{Text: "Ines Calder", Note: "leader on the day"}, {Text: "She is pale and does not answer."}},
			{{Text: "Sun 3 May, 11:05"}, {Text: "a name that is deleted"}, {Text: "Lantern Ridge, the whole loop"},
				{Text: "Oren Vale", Note: "on-call on an alarm"}, {Text: "cannot be read any more: its key is gone"}}}}}
}

// placeOpened is the card of somebody whose card was opened once, on their own page.
func placeOpened() signupsview.PlaceCard {
	return signupsview.PlaceCard{URL: "/place/K7QX/card", Has: true,
		Openings: ui.LedgerText{Cards: true,
			Columns: []ui.Column{{Label: "When"}, {Label: "Opened by"}, {Label: "Reason"}},
			Rows: [][]ui.Cell{{{Text: "Sun 10 May, 08:40"}, {Text: "Ines Calder", Note: "leader on the day"},
				{Text: "She is pale and does not answer."}}}}}
}
