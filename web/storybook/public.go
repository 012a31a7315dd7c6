package storybook

import (
	"time"

	"saltbush/internal/rules"
	"saltbush/web/signups"

	"saltbush/internal/format"
	accountsview "saltbush/web/accounts/view"
	publicview "saltbush/web/public/view"
	settingsview "saltbush/web/settings/view"
	signupsview "saltbush/web/signups/view"
	"saltbush/web/ui"
)

// publicPages lists the states of the pages for the public and for participants.
func publicPages() []StatePage {
	empty := calendarSample()
	empty.Months = nil
	values := signupValues()
	values["contact"], values["contact_tel"] = []string{"Teo Reyes"}, []string{"555 01"}
	wrong := signupSample(ui.FormState{Values: values, Errors: map[string]string{
		"contact":     "Teo Reyes is on this hike too. Name someone who stays at home.",
		"contact_tel": "This number has 5 digits; local numbers have 10.",
		"agree":       "Tick this to come along. If something in it is not right, write to us.",
	}})
	wrong.Full = "All 14 places are taken; you would be fourth on the list. Only people who have been talked with " +
		"move up."
	return []StatePage{
		{"calendar", "Calendar", publicview.Calendar(calendarSample())},
		{"calendar-empty", "Calendar without hikes", publicview.Calendar(empty)},
		{"notice", "Notice of a hike", publicview.HikeNotice(noticeSample())},
		{"notice-changed", "Notice of a hike that turns back early", publicview.HikeNotice(noticeChanged())},
		{"notice-called-off", "Notice of a hike that is called off", publicview.HikeNotice(noticeCalledOff())},
		{"signup", "Sign-up form", signupsview.Signup(signupSample(ui.FormState{Values: signupValues()}))},
		{"signup-wrong", "Sign-up form that came back", signupsview.Signup(wrong)},
		{"place", "A confirmed place", signupsview.Place(placeSample())},
		{"place-offered", "An offered place", signupsview.Place(placeOffered())},
		{"place-changed", "A place on a hike that turns back early", signupsview.Place(placeChanged())},
		{"place-withdrawn", "A withdrawn place with its undo", signupsview.Place(placeWithdrawn())},
		{"mail-choice", "Mails that one can do without", signupsview.MailChoice(mailChoiceSample())},
		{"mail-stopped", "Mails that were stopped", signupsview.MailChoice(mailStopped())},
		{"feeds", "Calendar addresses of an account",
			accountsview.FeedsPage(samplePage("Your account", ""), feedsSample())},
		{"feeds-none", "Calendar addresses before the first",
			accountsview.FeedsPage(samplePage("Your account", ""),
				accountsview.FeedsText{Name: accountsview.NewFeedField(ui.FormState{})})},
		{"signin", "Sign in", accountsview.Signin(signinSample())},
		{"first", "First coordinator", accountsview.First(firstSample())},
		{"error", "Page not found", ui.Error(ui.ErrorPage{Page: samplePage("Not found", ""), Code: "404",
			Title: "There is no such page",
			Text:  "The address may be cut off. Links in mails are long: copy all of it.",
			Points: []string{"If you came from a mail, open it again and tap the link.",
				"If you typed the address, compare it letter by letter."},
			Way: ui.ButtonText{Label: "See the hikes", URL: "/", Kind: ui.ButtonMain}})},
		{"outbox", "Outbox of the demo", settingsview.Outbox(outboxSample())},
	}
}

func calendarSample() publicview.CalendarPage {
	return publicview.CalendarPage{
		Page: samplePage("Guided hikes", "Hikes"),
		Lede: "Free walks in the Red Lantern Reserve, led by volunteers. Read what a hike asks before you ask for " +
			"a place.",
		FeedURL: "/hikes.ics",
		Empty: ui.EmptyText{Title: "No hikes are posted",
			Text: "Nothing is planned that we could show. The hot months are left out on purpose; look again in " +
				"September."},
		Months: []publicview.CalendarMonth{
			{ID: "m2026-05", Name: "May 2026", Hikes: []publicview.CalendarHike{
				{URL: "/hikes/1", Day: "10", Weekday: "Sunday", Title: "Quail Wash at first light",
					Trail: "Quail Wash to the saddle, out and back", Meet: "06:00 at Quail Wash trailhead",
					Distance: "7.7 km", Ascent: "240 m", Class: "moderate", Number: "87", Time: "3 h 45 to 4 h 51",
					Water: "4.5 L", Stamp: ui.StampOf("places left"), Places: "4 of 14 left"},
				{URL: "/hikes/2", Day: "16", Weekday: "Saturday", Title: "Lantern Ridge", Trail: "Lantern Ridge, loop",
					Meet: "05:15 at Ridge Road gate", Distance: "11.2 km", Ascent: "520 m",
					Class: "moderately strenuous", Number: "154", Time: "5 h 10 to 6 h 40", Water: "6.0 L",
					Stamp: ui.StampOf("waiting list"), Places: "full, 3 waiting"},
				{URL: "/hikes/3", Day: "23", Weekday: "Saturday", Title: "Tanks and petroglyphs",
					Trail: "Potter's Tanks, one way", Meet: "05:30 at the north lot", Distance: "9.3 km",
					Ascent: "180 m", Class: "moderate", Number: "83", Stamp: ui.StampOf("called off"),
					Places: "too hot", Note: "Called off on Thu 21 May: 39 \u00b0C by 10:00 on the flats."},
			}},
			{ID: "m2026-09", Name: "September 2026",
				Note: "No hikes in June, July and August: it is too hot for a group to be safe here.",
				Hikes: []publicview.CalendarHike{
					{URL: "/hikes/4", Day: "27", Weekday: "Sunday", Title: "Smoke Tree Flats for new walkers",
						Trail: "Smoke Tree Flats, loop", Meet: "06:30 at Flats picnic ground", Distance: "4.1 km",
						Ascent: "60 m", Class: "easiest", Number: "32", Stamp: ui.StampOf("places left"),
						Places: "12 of 16 left",
						Note:   "No plan yet: time and water are worked out from the forecast."},
				}},
		},
	}
}

func sampleClock(h, m int) time.Time {
	return time.Date(2026, 5, 10, h, m, 0, 0, sampleZone())
}

func sampleZone() *time.Location { return time.FixedZone("UTC-7", -7*3600) }

func noticeSample() publicview.NoticePage {
	onTrail := ui.NewDurationRange("On the trail", 225*time.Minute, 291*time.Minute)
	onTrail.FromNote, onTrail.ToNote = "half of groups like this need no longer", "nine in ten need no longer"
	return publicview.NoticePage{
		Page: samplePage("Quail Wash at first light", "Hikes"), CalendarURL: "/hikes/1/hike.ics",
		Name: "Quail Wash at first light", Date: "Sunday 10 May 2026, meet at 06:00", Stamp: ui.StampOf("posted"),
		Lede: "Up the wash in shadow, over slickrock to the saddle, and back before the heat.",
		Numbers: []ui.FigureText{
			{Label: "Distance", Value: "7.7", Unit: "km", Note: "out and back"},
			{Label: "Ascent", Value: "240", Unit: "m", Note: "and as much down"},
			{Label: "Steepest part", Value: "28", Unit: "%", Note: "for 180 m below the saddle"},
			{Label: "Class", Value: "moderate", Note: "its number is 87"},
			{Label: "Group", Value: "14", Note: "walkers, with 3 staff"},
			{Label: "Shade", Value: "20", Unit: "%", Note: "nearly all of it before 08:00"},
		},
		ClassWhy: "Moderate by its number: the square root of twice 790 ft of ascent times 4.8 miles is 87. The " +
			"class does not know about heat or footing; read on.",
		OnTrail: onTrail, BackBy: ui.NewClockRange("Back at the cars", sampleClock(6, 30), sampleClock(10, 15),
			sampleClock(11, 21), sampleClock(11, 30), "off by 11:30", sampleZone()),
		Family: "Expect news between 10:15 and 11:21. If you hear nothing by 12:30, ring the on-call contact, Oren " +
			"Vale, at 555 010 0142. The number is answered.",
		Asks: []string{"You have walked 5 km with 150 m of ascent in the last eight weeks without trouble.",
			"You can carry 4.5 litres of water: 4.5 kg at the start.",
			"You use your hands on two rock steps as high as your hip.",
			"You keep to the pace of the slowest, and wait at each junction."},
		Refused: []string{"Less than 4.5 litres of water", "Sandals, smooth soles or new boots",
			"Feeling ill, or a hangover", "No emergency contact that stays at home"},
		Meeting: []format.Line{{Label: "Meet", Value: "06:00, Sunday 10 May 2026"},
			{Label: "Leave", Value: "06:30",
				Note: "We wait ten minutes for the late, then go. Nobody walks alone to catch up."},
			{Label: "Trailhead", Value: "33.45120, -112.07400", URL: "geo:33.45120,-112.07400",
				Note: "Last 3 km are graded dirt. No signal at the lot."},
			{Label: "Turn round", Value: "by 08:50", Note: "wherever we are then"}},
		Water: []ui.FigureText{{Label: "Bring each", Value: "4.5", Unit: "litres",
			Note: "four bottles of 1 L and one of 0.5 L", Big: true},
			{Label: "Drink", Value: "0.95", Unit: "L an hour", Note: "never more than 1.4"},
			{Label: "On the way", Value: "none", Note: "there is no water on this trail"}},
		WaterWhy: "Enough for the late time of 4 h 51 in the heat expected. The group carries a reserve for trouble; " +
			"it is never used to start with. Eat salty food each time you drink.",
		Hours: heatSample(), HeatNote: ui.NoteText{Kind: ui.NoteCaution, Title: "Warm from 09:00",
			Text: "Feels like 34 \u00b0C by 10:00 in the sun. If the forecast on Saturday at 12:30 is worse, we " +
				"shorten or call off."},
		Rules: []format.Line{{Label: "Under 18", Value: "with a parent or guardian on the hike"},
			{Label: "Dogs", Value: "no", Note: "closed to dogs by the reserve; service animals may come"},
			{Label: "Toilets", Value: "at the trailhead only"},
			{Label: "Not coming", Value: "tell us until 06:00 on Saturday",
				Note: "your place goes to the list. No blame for doubts about heat."}},
		SignUp:     ui.ButtonText{Label: "Ask for a place", URL: "/hikes/1/sign-up", Kind: ui.ButtonMain},
		SignUpNote: "4 of 14 places left. A leader may ring you first.",
		PlanMade:   "Worked out on Fri 8 May, 18:05, from the forecast of that hour. A new forecast makes a new plan.",
	}
}

func noticeChanged() publicview.NoticePage {
	p := noticeSample()
	p.Changed = changedSample("Changed", "It goes, shorter: it turns back at the saddle.")
	return p
}

func noticeCalledOff() publicview.NoticePage {
	p := noticeSample()
	p.Stamp = ui.StampOf("called off")
	p.Alert = ui.NoteText{Kind: ui.NoteGrave, Title: "This hike does not take place",
		Text: "Called off on Sat 9 May at 12:30 because of heat: 39 \u00b0C by 10:00. Everyone on the list was told " +
			"by mail. Please do not walk it as a group without a leader."}
	p.SignUp, p.SignUpNote = ui.ButtonText{}, ""
	p.Hours, p.HeatNote = nil, ui.NoteText{}
	p.HeatEmpty = ui.EmptyText{Title: "No heat figures",
		Text: "The last forecast is older than a day. No data is not green: nobody has worked out this day anew."}
	return p
}

func signupSample(state ui.FormState) signupsview.SignupPage {
	form := signups.SignUpForm(signups.FormFor{Rules: rules.DefaultRules(), Carry: 4.5, Units: format.Metric})
	return signupsview.SignupPage{
		Page: samplePage("Ask for a place", "Hikes"), Hike: "Quail Wash at first light, Sunday 10 May 2026",
		Action: "/hikes/1/sign-up", Submit: "Ask for a place", Fields: form.Fields(state),
		Facts: []format.Line{
			{Label: "Meet", Value: "06:00 at Quail Wash trailhead"},
			{Label: "Walk", Value: "7.7 km, 240 m of ascent", Note: "moderate, its number is 87"},
			{Label: "On the trail", Value: "3 h 45 to 4 h 51"},
			{Label: "Water each", Value: "4.5 L"},
		},
		Risks: []string{
			"Heat, falls, animals, storms and being far from help can hurt or kill on this hike, and the leaders are " +
				"volunteers.",
			"I bring the water and shoes it asks for, and I say early when I feel unwell.",
			"The leader may turn me away, change the hike or stop it, and I follow.",
		},
		Version: "Version 2 of 1 March 2026. We keep which version you agreed to, and when.",
	}
}

// signupValues is a form that is half filled in.
func signupValues() map[string][]string {
	return map[string][]string{
		"name": {"Amaya Reyes"}, "email": {"amaya@example.org"}, "age": {"adult"},
		"walk_distance": {"8"}, "hot_before": {"yes"}, "health": {"no"}, "plate": {"KXR 204"},
	}
}

func signinSample() accountsview.SigninPage {
	return accountsview.SigninPage{
		Page: samplePage("Sign in", ""),
		Email: ui.Field{Name: "email", Label: "Mail address", Kind: "email", Autocomplete: "username",
			Value: "ines@example.org"},
		Password: ui.Field{Name: "password", Label: "Password", Kind: "password", Autocomplete: "current-password"},
		Wrong: ui.NoteText{Kind: ui.NoteGrave, Title: "That did not open",
			Text: "The address and the password do not belong together. Ten tries a minute are allowed."},
		Next: "/desk",
		Samples: []format.Line{{Label: "Coordinator", Value: "ines@example.org"},
			{Label: "Leader", Value: "oren@example.org"}},
	}
}

func firstSample() accountsview.FirstPage {
	return accountsview.FirstPage{
		Page:         samplePage("First coordinator", ""),
		Organisation: ui.Field{Name: "organisation", Label: "Name of the organisation"},
		Emergency: ui.Field{Name: "emergency", Label: "Local emergency number",
			Hint: "It stands on every page and paper.", Short: true, Value: "911"},
		Zone: ui.Field{Name: "zone", Label: "Time zone of the trailheads",
			Hint: "Every time on every page is read off this clock.", Value: "America/Phoenix"},
		Name:  ui.Field{Name: "name", Label: "Your name", Autocomplete: "name"},
		Email: ui.Field{Name: "email", Label: "Mail address", Kind: "email", Autocomplete: "email"},
		Password: ui.Field{Name: "password", Label: "Password", Kind: "password",
			Hint: "At least 12 signs. Four words you can remember are good.", Autocomplete: "new-password",
			Error: "This password has 7 signs; it needs 12 or more."},
	}
}

func outboxSample() settingsview.OutboxPage {
	return settingsview.OutboxPage{Page: samplePage("Outbox", ""), Mails: []settingsview.OutboxMail{
		{To: "Amaya Reyes, amaya@example.org", Subject: "Your place on Quail Wash at first light",
			When: "Fri 8 May, 18:06", State: ui.StampText{Word: "kept here", Look: ui.LookPencil, Mark: ui.MarkBar},
			Text: "Dear Amaya,\n\nyour place on Sunday 10 May is confirmed. Meet at 06:00 at Quail Wash " +
				"trailhead.\n\nBring 4.5 litres of water: four bottles of 1 L and one of 0.5 L.\n\nYour page, with " +
				"your list and your times:\nhttp://localhost:8080/place/K7QX-41PD-9TTE-RV2M\n\nIn an emergency " +
				"call the local emergency number first.",
			Links: []ui.ButtonText{{Label: "Open the page in this mail", URL: "/place/K7QX-41PD-9TTE-RV2M"}}},
	}}
}
