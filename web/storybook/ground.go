package storybook

import (
	"saltbush/internal/format"
	hikesview "saltbush/web/hikes/view"
	"saltbush/web/trails"
	trailsview "saltbush/web/trails/view"
	"saltbush/web/ui"
	watchview "saltbush/web/watch/view"
)

// groundSample is a trail whose last report is old and of which a part is closed.
func groundSample() trailsview.GroundText {
	return trailsview.GroundText{
		Scouted: ui.ScoutedStamp("too long ago"),
		Says: "Walked on 2 January 2026 by Rosa Lind, 128 days before. At this time of the year a report stands " +
			"90 days: this organisation's rule.",
		Reports: []trailsview.ReportLine{{Walked: "2 January 2026", By: "Rosa Lind", Times: "3 h 20 with four",
			Conditions: "Sand over the first rock step; the cairn at the fork is down.",
			Hazards:    "Bees at the second tank."}},
		Closures: []trailsview.ClosureLine{{When: "from 1 May 2026 until further notice",
			Why: "The upper tank, nesting owls", Source: "warden's board", Kind: "a caution",
			RemoveURL: "/trails/7/closures/3/remove"}},
		Scout: trails.ScoutForm().Fields(ui.FormState{}), Closure: trails.ClosureForm().Fields(ui.FormState{}),
	}
}

// bareGround is a trail that nobody has reported on.
func bareGround() trailsview.GroundText {
	return trailsview.GroundText{Scouted: ui.ScoutedStamp("not scouted"),
		Says:  "Nobody has reported walking this trail. Its state is not known.",
		Scout: trails.ScoutForm().Fields(ui.FormState{}), Closure: trails.ClosureForm().Fields(ui.FormState{})}
}

// announcementSample is what a person reads after a decision.
func announcementSample(consent bool) hikesview.AnnouncementPage {
	p := hikesview.AnnouncementPage{Page: samplePrivatePage("What was decided"), URL: "/updates/k4f2",
		Hike: "Quail Wash to the saddle", Name: "Amaya Reyes",
		Words: "It goes, shorter: it turns back at the saddle.", By: "Decided by Ines Calder on Sat 9 May, 12:10.",
		When: "Sunday 10 May 2026, meet 06:00", State: ui.StampOf("confirmed")}
	p.Changed = changedSample("What is different", "Why: The afternoon is hotter than we thought.")
	p.Leave = true
	if consent {
		p.Consent, p.State = true, ui.StampOf("offered")
		p.Words = "It goes on another trail: Lantern Ridge, which is harder: each place waits for its person's consent."
		p.Changed.Points = []string{"Trail: Lantern Ridge, no longer Quail Wash to the saddle.",
			"Distance: 9.8 km, no longer 7.7 km.", "Climb: 520 m, no longer 240 m.",
			"Water each: 6.0 L, no longer 4.5 L."}
	}
	return p
}

// changedSample lists what a decision changed.
func changedSample(title, text string) ui.NoteText {
	return ui.NoteText{Kind: ui.NoteCaution, Title: title,
		Text: text,
		Points: []string{"Walk: to the saddle and back, no longer the whole trail.",
			"Distance: 7.7 km, no longer 11.2 km.", "Climb: 240 m, no longer 410 m.",
			"Back: between 10:15 and 11:21, no longer between 11:40 and 13:05.", "Water each: 4.5 L, no longer 6.0 L."}}
}

// talkAnnouncement is what a person reads who no longer fits by the screening.
func talkAnnouncement() hikesview.AnnouncementPage {
	p := announcementSample(true)
	p.Consent, p.State = false, ui.StampOf("asked")
	p.Talk = ui.NoteText{Kind: ui.NoteCaution, Title: "The leader would like a word with you first",
		Text: "The walk asks more than before. It is a talk, not an examination, about this:",
		Points: []string{"No walk of the last eight weeks had at least 4.1 km and 310 m of climb, which is 60 % of " +
			"this one."}}
	return p
}

// withNews is the page of a hike whose decision two people have not read.
func withNews(p hikesview.HikePage) hikesview.HikePage {
	p.TrailNote = ui.NoteText{Kind: ui.NoteUnknown, Title: "Not scouted",
		Points: []string{"Nobody has reported walking this trail. Its state is not known."}}
	p.Decision.Made, p.Decision.On,
		p.Decision.Open = "It goes, earlier: meet at 05:30, walk from 06:00. Decided by Ines Calder on Sat 9 May, "+
		"12:10.", "Taken on plan 12, which says go. Official: heat level 2 of 4.", false
	p.Decision.Options = hikesview.NewDecisionOptions(ui.FormState{}, hikesview.DecisionChoices{Earlier: "05:00",
		Later: "07:00", Turn: "Notch Junction", Turns: []string{"Notch Junction, 2.1 km", "Quail Tank, 1.0 km"},
		TurnUnit: "km",
		Trails: []ui.Option{{Value: "9",
			Label: "Old Pump Road, 5.1 km, 15 min by road: class not known, each must agree"}}})
	p.Decision.Told = &ui.AnnouncementText{Words: "It goes, earlier: meet at 05:30, walk from 06:00.",
		When: "Told on Sat 9 May, 12:10 by Ines Calder.", Read: "12 of 14 have read it.",
		Calls: []ui.AnnouncementCall{{Name: "Amaya Reyes", Phone: "555-0131",
			Reminder: "reminder by mail Sat 9 May, 16:10"},
			{Name: "Wren Abara", Phone: "555-0132", Reminder: "reminder by mail Sat 9 May, 16:10"}},
		Trailhead: "Somebody stands at the trailhead at 05:30, or hangs up a sign, unless all of them have been " +
			"reached."}
	return p
}

// landSample is the report to a land manager about a hike that is back.
func landSample() watchview.LandPage {
	facts := []format.Line{{Label: "Hike", Value: "Quail Wash to the saddle"},
		{Label: "Date", Value: "Sunday 10 May 2026"}, {Label: "Party", Value: "14"},
		{Label: "Of them staff", Value: "2"},
		{Label: "Vehicles", Value: "5"}, {Label: "Leader", Value: "Ines Calder"},
		{Label: "On call", Value: "Petra Halloway, 555-0140"}, {Label: "Went out", Value: "13"},
		{Label: "All back", Value: "10:24"}}
	return watchview.LandPage{Page: sampleStaffPage("For the land manager", "Desk"), Hike: "Quail Wash to the saddle",
		When: "Sunday 10 May 2026", To: "Reserve desk, 555-0190", Facts: facts,
		Text: "Hike: Quail Wash to the saddle\nParty: 14\nVehicles: 5\n", CSVURL: "/hikes/7/land-manager.csv",
		BackURL: "/hikes/7/manage"}
}

// bareLand is the same report where nobody is named.
func bareLand() watchview.LandPage {
	p := landSample()
	p.To, p.Facts, p.Text = "", p.Facts[:5], "Hike: Quail Wash to the saddle\n"
	return p
}
