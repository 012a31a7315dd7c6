package storybook

import (
	"saltbush/internal/format"
	"saltbush/internal/signup"
	"saltbush/web/signups"
	signupsview "saltbush/web/signups/view"
	"saltbush/web/ui"
)

func screeningSample() signupsview.ScreeningPage {
	row := talkSample()
	fits := row
	fits.ID, fits.Name, fits.State, fits.Outcome, fits.OutcomeBy = "2", "Jonah Pike", ui.StampOf("turned away"),
		ui.StampOf("suggest another"), "Ines Calder, Fri 8 May, 19:20"
	fits.Answered, fits.Held, fits.Warn = "I walked the ridge last week, four hours, and was fine.", "", nil
	fits.Fields = signups.ScreeningForm("2").Fields(ui.FormState{})
	fits.Suggested = []format.Line{{Label: "Sunday 17 May 2026", Value: "Salt Flat loop: wheels and words",
		URL: "/hikes/4", Note: "4.2 km, 20 m of ascent; easiest, its number is 19"}}
	return signupsview.ScreeningPage{Page: sampleStaffPage("Talks first", "Desk"), Hike: "Quail Wash at first light",
		When: "Sunday 10 May 2026", BackURL: "/hikes/12/manage",
		Open: []signupsview.ScreeningRow{row}, Others: []signupsview.ScreeningRow{fits}}
}

func talkSample() signupsview.ScreeningRow {
	return signupsview.ScreeningRow{
		ID: "1", Name: "Amaya Reyes", State: ui.StampOf("asked"), Held: "Sat 9 May, 18:05", Mobile: "+1 602-555-0144",
		Talk: []string{"No walk of the last eight weeks had at least 4.6 km and 144 m of climb, which is 60 % " +
			"of this one.", "The heat of this area is new to them."},
		Readiness: signupsview.ReadinessText{Talk: []string{"They were active in heat on 2 of the last 14 days. For " +
			"a day like this the usual steps suggest about 3 h in the heat; nine such parties in ten are back within " +
			"4 h 45."}, Ask: []string{"When was your last day in the heat?"}},
		Told: []format.Line{{Label: "Longest walk lately",
			Value: "4.0 km, 20 m of climb, 1 h, 7 days ago. Round the lake, fine."},
			{Label: "In this climate", Value: "for 5 days, from the coast",
				Note: "2 days of the last 14 active in heat"},
			{Label: "Brings", Value: "3.0 L of water; boots", Note: "poles: no"}},
		Warn:       []string{"the emergency contact is on this hike"},
		Contact:    "Teo Reyes, +1 480-555-0155: a leader rings them before the hike",
		ReachedURL: "/hikes/12/screening/1/reached",
		URL:        "/hikes/12/screening/1", SheetURL: "/hikes/12/screening/1/sheet",
		Fields: signups.ScreeningForm("1").Fields(ui.FormState{}),
	}
}

func talkSheetSample() signupsview.TalkSheetPage {
	return signupsview.TalkSheetPage{Page: sampleStaffPage("Talk with Amaya Reyes", "Desk"),
		Hike: "Quail Wash at first light", When: "Sunday 10 May 2026", BackURL: "/hikes/12/screening",
		Row: talkSample(),
		Facts: []format.Line{{Label: "Walk", Value: "7.7 km, 240 m of ascent"},
			{Label: "Water each", Value: "4.5 L"}},
		Questions: []string{"What have you walked lately, how long did it take, and how did you feel after?",
			"What do you carry on such a day?", "What will you do when you feel that it is too much?"},
		Criteria: []string{"has walked 60 % of this distance and climb in the last eight weeks",
			"can carry the water that the plan asks for"}}
}

func placeRefusedSample() signupsview.PlacePage {
	p := placeSample()
	p.State, p.StateSays = ui.StampOf("turned away"),
		"You have no place on this hike: it asks for a longer walk lately."
	p.Changed, p.Withdraw = ui.NoteText{}, ui.ButtonText{}
	p.Talk = ui.NoteText{Title: "What the talk came to: suggest another",
		Text: "The criterion, the same for all: has walked 60 % of this distance and climb in the last eight weeks."}
	p.Suggested = []format.Line{{Label: "Sunday 17 May 2026", Value: "Salt Flat loop: wheels and words",
		URL: "/hikes/4", Note: "4.2 km, 20 m of ascent"}}
	p.AnswerURL, p.AnswerBack = "/place/K7QX/answer", ui.Field{Name: "answer", Label: "What should the leader know?"}
	return p
}

func placeContactSample() signupsview.PlacePage {
	p := placeSample()
	p.ContactURL, p.ChildURL, p.FriendURL = "/place/K7QX/contact", "/place/K7QX/child",
		"https://hikes.example/hikes/12/sign-up"
	p.Contact = format.Line{Label: "In need we ring", Value: "Teo Reyes, +1 480-555-0155",
		Note: "asked on Thu 7 May, 06:00, no answer yet"}
	p.ContactWrong = ui.NoteText{Kind: ui.NoteGrave, Title: "Not fit for departure until replaced",
		Text: "The person you named is on this hike too. Name somebody who stays behind."}
	p.ContactFields = signups.ContactForm().Filled(ui.FormState{},
		signup.SignUp{EmergencyName: "Teo Reyes", EmergencyPhone: "+1 480-555-0155"})
	return p
}

func screeningPages() []StatePage {
	contact := signupsview.ContactPage{Page: samplePrivatePage("Can we reach you?"), Walker: "Amaya Reyes",
		Hike: "Quail Wash at first light", Date: "Sunday 10 May 2026", URL: "/contact/K7QX"}
	done := contact
	done.Done = true
	return []StatePage{
		{"screening", "Talks first", signupsview.Screening(screeningSample())},
		{"talk-sheet", "Sheet for a talk", signupsview.TalkSheet(talkSheetSample())},
		{"place-refused", "Place: another hike suggested", signupsview.Place(placeRefusedSample())},
		{"place-contact", "Place: contact on the hike", signupsview.Place(placeContactSample())},
		{"contact", "Contact asked", signupsview.Contact(contact)},
		{"contact-done", "Contact said yes", signupsview.Contact(done)},
	}
}
