package view

import "saltbush/internal/format"

// cardPages lists the states of the pages of medical cards, drawn from fixed data.
func cardPages() []StatePage {
	noKey := CardFormPage{Page: samplePrivatePage("Your medical card"), Hike: "Quail Wash at first light, Sunday 10 May 2026", Person: "Amaya Reyes",
		URL: "/place/K7QX/card", BackURL: "/place/K7QX#card", Fields: NewCardFields(Answers{}), NoKey: true}
	lost, over := cardFormSample(Answers{}), cardFormSample(Answers{})
	lost.Lost = true
	over.Refused = "This hike is over. Its medical cards are not written any more."
	unread := cardOpenSample()
	unread.Action, unread.Lines, unread.Unread = "", nil, true
	none := PlaceCard{URL: "/place/K7QX/card"}
	place := placeSample()
	place.Card = none
	return []StatePage{
		{"card-form", "Medical card, written by its person", CardForm(cardFormSample(cardWritten()))},
		{"card-form-wrong", "Medical card, came back", CardForm(cardFormSample(Answers{
			Typed: map[string][]string{"action": {"Sugar, then call."}, "born": {"April 1961"}}, Wrong: map[string]string{"born": "Give the date, such as 1961-04-30."}}))},
		{"card-form-no-key", "Medical card, nothing can be sealed", CardForm(noKey)},
		{"card-form-lost", "Medical card, its key was lost", CardForm(lost)},
		{"card-form-over", "Medical card, the hike is over", CardForm(over)},
		{"card-none", "Place: no medical card", Place(place)},
		{"card-ask", "Why a card is opened", CardAsk(cardAskSample(Answers{}))},
		{"card-ask-wrong", "Why a card is opened, came back", CardAsk(cardAskSample(Answers{
			Typed: map[string][]string{"reason": {"because"}}, Wrong: map[string]string{"reason": "Write why you open it, in a few words: the person reads them."}}))},
		{"card-open", "An opened card", CardOpen(cardOpenSample())},
		{"card-unread", "A card that cannot be read", CardOpen(unread)},
		{"cards", "Openings, as the safety officer sees them", Cards(cardsSample())},
		{"cards-none", "Openings, none, as a coordinator sees them", Cards(CardsPage{Page: sampleStaffPage("Medical cards", "People")})},
		{"cards-no-key", "Openings, the key is missing", Cards(CardsPage{Page: sampleStaffPage("Medical cards", "People"), NoKey: true, Safety: true})},
	}
}

func cardWritten() Answers {
	return Answers{Typed: map[string][]string{
		"action": {"If confused, pale or sweaty: glucose from my top pocket first, then call."}, "carried": {"Glucose gel in the top pocket of the red pack. Any first aider can give it."},
		"conditions": {"Diabetes, insulin since 2004."}, "medicines": {"Insulin before meals. It must not lie in the sun."}, "born": {"1961-04-30"}}}
}

func cardFormSample(a Answers) CardFormPage {
	return CardFormPage{Page: samplePrivatePage("Your medical card"), Hike: "Quail Wash at first light, Sunday 10 May 2026", Person: "Amaya Reyes",
		URL: "/place/K7QX/card", BackURL: "/place/K7QX#card", Fields: NewCardFields(a), Remove: ButtonText{Label: "Delete my card", Kind: ButtonGrave, URL: "/place/K7QX/card/remove"}}
}

func cardAskSample(a Answers) CardAskPage {
	return CardAskPage{Page: sampleStaffPage("Open a medical card", "Board"), Person: "Amaya Reyes", Hike: "Quail Wash at first light", As: "leader on the day",
		Action: "If confused, pale or sweaty: glucose from my top pocket first, then call.", URL: "/hikes/12/cards/1", BackURL: "/hikes/12/roll", Reason: NewOpenReason(a)}
}

func cardOpenSample() CardOpenPage {
	return CardOpenPage{Page: sampleStaffPage("Medical card", "Board"), Person: "Amaya Reyes", Hike: "Quail Wash at first light",
		Action: "If confused, pale or sweaty: glucose from my top pocket first, then call.",
		Lines: []format.Line{{Label: "Carries, and where", Value: "Glucose gel in the top pocket of the red pack; meter and spare insulin in the lid, cool pouch. Any first aider can give the gel."},
			{Label: "Allergies", Note: "not written"}, {Label: "Conditions", Value: "Diabetes, insulin since 2004."}, {Label: "Medicines", Value: "Insulin before meals. It must not lie in the sun."},
			{Label: "Heat, before", Value: "Cramps once, in 2019."}, {Label: "Hearing, seeing, language", Note: "not written"}, {Label: "Born", Value: "1961-04-30"}, {Label: "Doctor", Note: "not written"}},
		Calls:  []format.Line{{Label: "Emergency number", Value: "112", URL: "tel:112", Note: "Say where first."}, {Label: "Teo Reyes", Value: "+1 480-555-0155", URL: "tel:+14805550155", Note: "whom to ring for Amaya Reyes"}},
		Opened: "Opened by Ines Calder, leader on the day, Sun 10 May, 08:40: She is pale and does not answer.", BackURL: "/hikes/12/roll"}
}

func cardsSample() CardsPage {
	p := sampleStaffPage("Medical cards", "Cards")
	p.Viewer.Roles = append(p.Viewer.Roles, RoleSafety)
	p.Nav = Nav(p.Viewer, "Cards")
	return CardsPage{Page: p, Safety: true,
		Incidents: LedgerText{Cards: true, Columns: []Column{{Label: "Hike"}, {Label: "Day"}, {Label: "Cards"}}, Rows: [][]Cell{
			{{Text: "Quail Wash at first light"}, {Text: "Sun 10 May"}, {Part: CardLinks([]NavLink{{Label: "Amaya Reyes", URL: "/hikes/12/cards/1"}, {Label: "Jonah Pike", URL: "/hikes/12/cards/2"}})}}}},
		Openings: LedgerText{Cards: true, Columns: []Column{{Label: "When"}, {Label: "Whose card"}, {Label: "Hike"}, {Label: "Opened by"}, {Label: "Reason"}}, Rows: [][]Cell{
			{{Text: "Sun 10 May, 08:40"}, {Text: "Amaya Reyes"}, {Text: "Quail Wash at first light"}, {Text: "Ines Calder", Note: "leader on the day"}, {Text: "She is pale and does not answer."}},
			{{Text: "Sun 3 May, 11:05"}, {Text: "a name that is deleted"}, {Text: "Lantern Ridge, the whole loop"}, {Text: "Oren Vale", Note: "on-call on an alarm"}, {Text: "cannot be read any more: its key is gone"}}}}}
}

// placeOpened is the card of somebody whose card was opened once, on their own page.
func placeOpened() PlaceCard {
	return PlaceCard{URL: "/place/K7QX/card", Has: true, Openings: LedgerText{Cards: true, Columns: []Column{{Label: "When"}, {Label: "Opened by"}, {Label: "Reason"}},
		Rows: [][]Cell{{{Text: "Sun 10 May, 08:40"}, {Text: "Ines Calder", Note: "leader on the day"}, {Text: "She is pale and does not answer."}}}}}
}
