package storybook

import (
	"saltbush/internal/format"
	signupsview "saltbush/web/signups/view"
	"saltbush/web/ui"
)

func placeSample() signupsview.PlacePage {
	return signupsview.PlacePage{
		Page: samplePrivatePage("Your place"), Person: "Amaya Reyes", Hike: "Quail Wash at first light",
		Date:      "Sunday 10 May 2026, meet at 06:00",
		State:     ui.StampOf("confirmed"),
		StateSays: "You have a place. Pack this on Saturday evening; there is no signal at the trailhead.",
		Changed: ui.NoteText{Kind: ui.NoteCaution, Title: "New since Friday: more water",
			Text: "The forecast for Sunday rose by 2 degrees. Bring 4.5 litres instead of 4.0."},
		Water: []ui.FigureText{{Label: "Bring", Value: "4.5", Unit: "litres",
			Note: "four bottles of 1 L and one of 0.5 L", Big: true},
			{Label: "Before the start", Value: "1.0", Unit: "litre", Note: "at breakfast, not from the 4.5"},
			{Label: "At most", Value: "1.4", Unit: "L an hour",
				Note: "more plain water than that is dangerous"}},
		WaterWhy: "0.95 litres an hour for 4 h 51, the time that nine groups in ten stay under, rounded up to half " +
			"litres.",
		Food: "Salty snacks for 600 kcal, in small bags you can reach while walking, and a breakfast of about " +
			"300 kcal before 05:30.",
		Kit: []signupsview.KitItem{{Text: "4.5 L of water", Why: "no water on the way"},
			{Text: "Salty food, 600 kcal", Why: ""}, {Text: "Closed shoes with a tread", Why: "turned away without"},
			{Text: "Hat with a brim, long sleeves", Why: "little shade after 08:00"}, {Text: "Sun cream", Why: ""},
			{Text: "Lamp", Why: "in every pack, whatever the hour"},
			{Text: "Whistle", Why: "three blows: I need help"}, {Text: "Your own medicine for 24 h",
				Why: "tell the leader where it is"}, {Text: "Phone, charged, in flight mode", Why: ""}},
		Meeting: []format.Line{{Label: "Meet", Value: "06:00"},
			{Label: "Leave", Value: "06:30",
				Note: "After a wait of ten minutes we go. Nobody walks alone to catch up."},
			{Label: "Trailhead", Value: "33.45120, -112.07400", URL: "geo:33.45120,-112.07400",
				Note: "From the highway take Ridge Road, left at the tank, 3 km of graded dirt."},
			{Label: "Turn round", Value: "by 08:50", Note: "wherever we are then"}},
		Back: ui.NewClockRange("Back at the cars", sampleClock(6, 30), sampleClock(10, 15), sampleClock(11, 21),
			sampleClock(11, 30), "off by 11:30", sampleZone()),
		Drinks: []signupsview.DrinkLine{
			{Clock: "06:50", Drink: "0.3 L", Eat: "", Left: "4.2 L"},
			{Clock: "07:10", Drink: "0.3 L", Eat: "100 kcal", Left: "3.9 L"},
			{Clock: "07:30", Drink: "0.3 L", Eat: "", Left: "3.6 L"},
			{Clock: "08:00", Drink: "0.5 L", Eat: "150 kcal", Left: "3.1 L"},
			{Clock: "08:30", Drink: "0.5 L", Eat: "", Left: "2.6 L"},
			{Clock: "09:00", Drink: "0.5 L", Eat: "150 kcal", Left: "2.1 L"},
			{Clock: "09:30", Drink: "0.5 L", Eat: "100 kcal", Left: "1.6 L"},
			{Clock: "10:15", Drink: "0.6 L", Eat: "100 kcal", Left: "1.0 L"},
		},
		DrinkNote: "Drink when you are thirsty between these times, a little at a time, and never more than 1.4 " +
			"litres an hour. Sick, bloated and have " +
			"drunk a lot? Stop drinking, eat something salty, and tell the leader.",
		Family: "Tell someone at home: back between 10:15 and 11:21. If they hear nothing by 12:30 they ring the " +
			"on-call contact.",
		Ring: []format.Line{{Label: "On call that day", Value: "Oren Vale, 555 010 0142",
			URL: "tel:+15550100142"}, {Label: "Questions before", Value: "hikes@redlantern.example"}},
		Withdraw:     ui.ButtonText{Label: "Give my place back", URL: "/place/K7QX/withdraw", Kind: ui.ButtonGrave},
		WithdrawSays: "Your place goes to the next on the list. You can take it back until someone else has it.",
		Card:         placeOpened(), CalendarURL: "/place/K7QX/hike.ics", CardURL: "/place/K7QX/contact.vcf",
		DataURL: "/place/K7QX/data",
		PlanMade: "Worked out on Sat 9 May, 12:20. A new forecast makes a new plan, and you get a mail that " +
			"says what changed.",
	}
}

func placeOffered() signupsview.PlacePage {
	p := placeSample()
	p.State, p.StateSays = ui.StampOf("offered"), "A place has come free. It is kept for you until Sat 9 May, 06:30."
	p.Changed = ui.NoteText{}
	p.Talk = ui.NoteText{Title: "The leader would like a word first",
		Text: "Oren Vale rings you on Friday evening. He asks what you walked lately, and how you felt after."}
	p.Answer = []ui.ButtonText{{Label: "Take the place", URL: "/place/K7QX/take", Kind: ui.ButtonMain},
		{Label: "Leave it to the next", URL: "/place/K7QX/leave"}}
	p.Withdraw = ui.ButtonText{}
	return p
}

func placeChanged() signupsview.PlacePage {
	p := placeSample()
	p.News = changedSample("Changed since you signed up",
		"It goes, shorter: it turns back at the saddle. Why: The afternoon is hotter than we thought.")
	return p
}

func placeWithdrawn() signupsview.PlacePage {
	p := placeSample()
	p.State, p.StateSays = ui.StampOf("withdrawn"), "You are not coming. Thank you for telling us in time."
	p.Flash = ui.Flash{Text: "Your place is given back.", Undo: "I come after all", UndoURL: "/place/K7QX/undo"}
	p.Changed, p.Withdraw = ui.NoteText{}, ui.ButtonText{}
	return p
}
