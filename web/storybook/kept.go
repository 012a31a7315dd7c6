package storybook

import (
	"saltbush/internal/format"
	settingsview "saltbush/web/settings/view"
	signupsview "saltbush/web/signups/view"
	"saltbush/web/ui"
)

func keptStates() []StatePage {
	return []StatePage{
		{"kept", "What is kept", settingsview.Retention(keptSample())},
		{"kept-wrong", "What is kept, came back", settingsview.Retention(wrongKeptSample())},
		{"kept-empty", "What is kept, nothing yet",
			settingsview.Retention(settingsview.RetentionPage{Page: sampleStaffPage("What is kept", "Kept"),
				Run: ui.NoteText{Kind: ui.NoteUnknown, Title: "No run yet"}, Stays: keptStays()})},
		{"log", "Log", settingsview.Log(logSample())},
		{"own-data", "What is kept of you", signupsview.OwnData(ownDataSample())},
		{"own-data-held", "What is kept of you, under a hold", signupsview.OwnData(heldDataSample())},
		{"own-data-gone", "What was kept of you is deleted",
			signupsview.OwnDeleted(signupsview.OwnDeletedPage{Page: samplePrivatePage("Deleted"),
				Stays: ownDataSample().Stays})},
	}
}

func keptStays() []string {
	return []string{"The log of a watch is appended to and never changed, with the names that stand in it.",
		"Numbers, times and places of a hike stay; the roll counts the same without names."}
}

func keptSample() settingsview.RetentionPage {
	hold := settingsview.LiftForm(settingsview.LiftText{Hike: "7", About: "Quail Wash at first light",
		Why: settingsview.NewLiftWhy(ui.FormState{}, "7")})
	return settingsview.RetentionPage{Page: sampleStaffPage("What is kept", "Kept"),
		Run: ui.NoteText{Title: "Last run: Sun 10 May, 03:10", Text: "It runs once a day."},
		Open: ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Hike"}, {Label: "Day"}, {Label: "Stands at"}},
			Rows: [][]ui.Cell{{{Text: "Old Pump Road by dusk"}, {Text: "Sat 2 May"}, {Text: "back"}}}},
		Going: ui.LedgerText{Cards: true, Columns: settingsview.CaseColumns(),
			Rows: [][]ui.Cell{{{Text: "Lantern Ridge"}, {Text: "15 May 2026"}, {Text: "15 May 2026"},
				{Text: "30 July 2026"}, {Text: "1 May 2027"}, {Text: "with the names"}}}},
		Holds: ui.LedgerText{Cards: true, Columns: settingsview.HoldColumns(),
			Rows: [][]ui.Cell{{{Text: "Quail Wash at first light"}, {Text: "On this hike somebody was unwell."},
				{Text: "Sun 10 May, 12:20", Note: "set by itself when the hike was closed"}, {Part: hold}}}},
		Gone: ui.LedgerText{Cards: true, Columns: settingsview.DeletionColumns(),
			Rows: [][]ui.Cell{{{Text: "Sun 10 May, 03:10"}, {Text: "Saddle loop"}, {Text: "medical cards"}, {Text: "3"},
				{Text: "the daily run"}}}},
		Hike: settingsview.NewHeldHike(ui.FormState{}, []ui.Option{{Value: "8", Label: "Lantern Ridge, Fri 1 May"}}),
		Why:  settingsview.NewHoldWhy(ui.FormState{}), Stays: keptStays()}
}

func wrongKeptSample() settingsview.RetentionPage {
	p := keptSample()
	p.Why = settingsview.NewHoldWhy(ui.FormState{Errors: map[string]string{"because": "Write why nothing of this " +
		"hike may be deleted."}})
	return p
}

func logSample() settingsview.LogPage {
	return settingsview.LogPage{Page: sampleStaffPage("Log", "Kept"),
		Lines: ui.LedgerText{Cards: true, Columns: settingsview.LogColumns(), Rows: [][]ui.Cell{
			{{Text: "Sun 10 May, 12:20"}, {Text: "hold set"}, {Text: "Quail Wash at first light"},
				{Text: "On this hike somebody was unwell."}, {Text: "set by itself when the hike was closed"}},
			{{Text: "Sun 10 May, 09:31"}, {Text: "card opened"}, {Text: "Quail Wash at first light"},
				{Text: "leader on the day"}, {Text: "Oren Vale"}},
		}}}
}

func ownDataSample() signupsview.OwnDataPage {
	return signupsview.OwnDataPage{Page: samplePrivatePage("What is kept of you"),
		Hike: "Quail Wash at first light, Sunday 10 May 2026", Person: "Amaya Reyes",
		Parts: []signupsview.OwnPart{
			{ID: "you", Title: "You", Lines: []format.Line{{Label: "Name", Value: "Amaya Reyes"},
				{Label: "Mail", Value: "amaya@example.org"}},
				Goes: "Goes 90 days after the hike is closed; the name after 365 days."},
			{ID: "card", Title: "Medical card", None: "You have none."},
		},
		JSONURL: "/place/K7QX/data.json", BackURL: "/place/K7QX", DeleteURL: "/place/K7QX/data",
		Delete: signupsview.NewDeleteBox(ui.FormState{}),
		First:  "The hike is ahead, so your place is given back and goes to the next on the list.",
		Stays:  []string{"That you accepted the risks, until a claim has run out."}}
}

func heldDataSample() signupsview.OwnDataPage {
	p := ownDataSample()
	p.Refused = "A legal hold stands on this hike. Nothing of it may be deleted, by anybody, until the hold is lifted."
	return p
}
