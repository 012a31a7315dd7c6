package storybook

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
	watchview "saltbush/web/watch/view"
)

// watchPages lists the states of the watch and of its hand-over sheet.
func watchPages() []StatePage {
	answered := watchSample()
	answered.Answer, answered.Answered = ui.ButtonText{}, "Oren Vale has it, since 11:24."
	asleep := watchSample()
	asleep.Asleep = "The watcher last ran 14 min ago. Nobody is being woken by this program: hold the clocks " +
		"yourself, by the times below, and tell whoever runs the server."
	quiet := boardDaySample()
	quiet.Log, quiet.Empty = ui.LedgerText{},
		ui.EmptyText{Title: "Nothing", Text: "Nobody recorded anything on this day, and no watch took a step."}
	return []StatePage{
		{"watch", "Watch in alarm", watchview.Watch(watchSample())},
		{"watch-missing", "Watch, somebody is missing", watchview.Watch(missingWatchSample())},
		{"watch-called", "Watch, help was called", watchview.Watch(calledWatchSample())},
		{"watch-answered", "Watch, somebody has it", watchview.Watch(answered)},
		{"watch-asleep", "Watch that is not kept", watchview.Watch(asleep)},
		{"watch-calm", "Watch on time, by the private link", watchview.Watch(calmWatchSample())},
		{"board-day", "What happened on a day", watchview.BoardDay(boardDaySample())},
		{"board-day-quiet", "A day on which nothing happened", watchview.BoardDay(quiet)},
		{"hand-over", "Hand-over sheet", watchview.HandOver(handOverSample())},
	}
}

func watchSample() watchview.WatchPage {
	p := watchview.WatchPage{
		Page: sampleStaffPage("Watch", "Board"), Live: liveSample(),
		Over:  "Quail Wash to the saddle, Sunday 10 May 2026, as of 11:33",
		Name:  "Quail Wash at first light",
		Phase: ui.StampOf("uncertainty"),
		Says:  "The watch time has passed. On-call asks: leader, sweep, someone near the lot.",
		Answer: ui.ButtonText{Label: "I have it", Kind: ui.ButtonMain, URL: "/board/1/acknowledge", Wide: true,
			About: "Quail Wash at first light"},
		Do: ui.NoteText{Kind: ui.NoteCaution, Title: "Now: start asking",
			Text: "First press \"I have it\". Call and text the leader, then the sweep. Read the last count. Ask " +
				"a ranger or " +
				"a volunteer nearby to look at the lot."},
		Links: []ui.ButtonText{{Label: "Hand-over sheet", URL: "/hikes/1/hand-over"},
			{Label: "Roll", Kind: ui.ButtonQuiet, URL: "/hikes/1/roll"}},
		NoteURL: "/hikes/1/watch/note", Note: watchview.NewWatchNote(ui.FormState{}),
		Why: []string{"great heat is forecast on an exposed trail"},
		Steps: []watchview.Step{
			{Text: "Watch card (on-call, deputy)", When: "06:34",
				Done: "Sent 06:34: Oren Vale (mail sent), Sunniva Holt (mail sent)."},
			{Text: "Start asking (on-call)", When: "11:21", Done: "Sent 11:21: Oren Vale (mail sent).",
				Current: true, Note: "First press \"I have it\". Call and text the leader, then the sweep."},
			{Text: "On-call has not answered (deputy)", When: "11:31", Note: "Only if nobody has it by then."},
			{Text: "Call for help (on-call, deputy, coordinator)", When: "11:51",
				Note: "Next, in 18 min, if nothing is heard before. Call the emergency number and say where first."},
		},
		Times: []format.Line{{Label: "Left", Value: "06:34"},
			{Label: "Likely return", Value: "10:19", Note: "passed 1 h 14 ago"},
			{Label: "Watch time", Value: "11:21", Note: "passed 12 min ago"},
			{Label: "Call time", Value: "11:51", Note: "in 18 min"}},
		Calls: []format.Line{{Label: "Emergency number", Value: "911", URL: "tel:911", Note: "Say where first."},
			{Label: "Leader", Value: "Ines Calder, 555 010 0119",
				URL: "tel:+15550100119"}, {Label: "Deputy", Note: "Nobody is named."}},
		Who: ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Name"}, {Label: "Where"}, {Label: "Last agreed"},
			{Label: "Reach"}}, Rows: [][]ui.Cell{
			{{Text: "Ines Calder", Note: "leader"}, {Text: "out"}, {Text: "the saddle, 08:44"},
				{Part: watchview.Reach("555 010 0119", "", "")}},
			{{Text: "Jun Takeda", Note: "under 18"}, {Text: "out"}, {Text: "the saddle, 08:44"},
				{Part: watchview.Reach("555 010 0133", "Hana Takeda", "555 010 0134")}},
		}},
		WhoNote: "2 people not accounted for, of 14 on the roll.",
		Log: ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "At"}, {Label: "What"}, {Label: "Who"}},
			Rows: [][]ui.Cell{
				{{Text: "11:26"}, {Text: "Called the leader, no answer"}, {Text: "Oren Vale"}},
				{{Text: "11:21"}, {Text: "Start asking", Note: "mail sent"}, {Text: "to Oren Vale, oren@example.org"}},
			}},
	}
	for _, q := range watchview.QuickNotes() {
		p.Quick = append(p.Quick, ui.ButtonText{Label: q, Name: "note", Value: q})
	}
	return p
}

func missingWatchSample() watchview.WatchPage {
	p := watchSample()
	p.Phase, p.Says = ui.StampOf("alert"), "Asking has brought no word. On-call and coordinator ask more widely."
	p.Do = ui.NoteText{
		Kind: ui.NoteCaution, Title: "Jun Takeda is missing",
		Text: "Call for help at 11:46 at the latest, in 13 min. They are still missing. Call the leader again. " +
			"Tell the land manager. Have the hand-over sheet open.",
	}
	p.Warnings = []string{"Back party: 5 counted at the saddle, 6 expected. Missing from this count: Jun Takeda. " +
		"Look first along the back party's route since Notch Junction. The last right count was at Notch " +
		"Junction at 09:40."}
	p.Answered, p.Answer, p.PassURL = "Oren Vale has it, since 11:19.", ui.ButtonText{}, "/hikes/1/watch/pass"
	for _, o := range []string{"deputy", "coordinator", "safety officer"} {
		p.Pass = append(p.Pass, ui.ButtonText{Label: "Pass on to " + o, Name: "to", Value: o})
	}
	p.Times = append(p.Times, format.Line{
		Label: "Missing", Value: "since 11:16", Note: "Jun Takeda is missing: call for help at 11:46",
	})
	return p
}

func calledWatchSample() watchview.WatchPage {
	p := missingWatchSample()
	p.Phase, p.Says = ui.StampOf("distress"), "Help was asked for, or the call time has passed."
	p.Do = ui.NoteText{
		Kind: ui.NoteGrave, Title: "Help was called at 11:48 by Oren Vale",
		Text: "Until they come: keep this phone free and charged, and answer every call. Have the " +
			"hand-over sheet open. Send somebody to the trailhead to meet them. Tell the land manager, " +
			"then the family contact. Write down every call. Stand down only when every name is " +
			"confirmed.",
	}
	return p
}

func calmWatchSample() watchview.WatchPage {
	p := watchSample()
	p.Page = samplePrivatePage("Watch")
	p.Phase, p.Says = ui.StampOf("on time"), "Nothing is due. Silence is normal on this trail."
	p.Answer, p.Do = ui.ButtonText{}, ui.NoteText{Title: "Nothing to do now",
		Text: "Next: start asking at 11:21, in 2 h 10, if nothing is heard before."}
	p.Log, p.NoLog = ui.LedgerText{},
		ui.EmptyText{Title: "Nothing yet", Text: "No step has been taken and nobody has written anything."}
	p.Who, p.Nobody = ui.LedgerText{}, ui.EmptyText{Title: "Everybody is accounted for",
		Text: "No name is open on the roll."}
	return p
}

func handOverSample() watchview.HandOverPage {
	return watchview.HandOverPage{
		Page: sampleStaffPage("Hand-over", "Board"), Over: "Quail Wash to the saddle, Sunday 10 May 2026",
		Name: "Quail Wash at first light",
		Made: "As of Sun 10 May, 11:52 by the clock of the trailhead.", BackURL: "/hikes/1/watch",
		Opening: "Say where first: Quail Wash to the saddle, 33.45120, -112.07400 (where they were last seen or " +
			"counted at 08:44; they have moved since). Then: a guided hiking group is overdue or asks for help. 2 " +
			"people are not accounted for.",
		Items: []watchview.HandOverItem{
			{Heading: "Where", Lines: []watchview.HandOverLine{{Label: "Position",
				Text: "33.45120, -112.07400 (datum WGS84, where they were last seen or counted at 08:44; they have " +
					"moved since)"}, {Label: "Nearest junction", Text: "the saddle (goal), there"}}},
			{Heading: "Phones to call back",
				Lines: []watchview.HandOverLine{{Label: "Phone", Text: "Oren Vale (on call), 555 010 0142"}}},
			{Heading: "When and where last seen", Lines: []watchview.HandOverLine{{Label: "Ines Calder, Jun Takeda",
				Text: "last seen or counted at the saddle", When: "08:44"}}},
			{Heading: "Who they are",
				Ask: "Age, sex, height, build, hair; colours of clothing, hat and pack; soles; glasses."},
		},
	}
}

func boardDaySample() watchview.BoardDayPage {
	return watchview.BoardDayPage{
		Page: sampleStaffPage("What happened", "Board"), Day: "Sunday 10 May 2026", BoardURL: "/board",
		Earlier: ui.ButtonText{Label: "The day before", URL: "/board/today?day=2026-05-09"},
		Log: ui.LedgerText{Cards: true,
			Columns: []ui.Column{{Label: "At"}, {Label: "Hike"}, {Label: "What"}, {Label: "Who"}}, Rows: [][]ui.Cell{
				{{Text: "11:26"}, {Text: "Quail Wash at first light",
					URL: "/hikes/1/watch"}, {Text: "Called the leader, no answer"}, {Text: "Oren Vale"}},
				{{Text: "11:21"}, {Text: "Quail Wash at first light",
					URL: "/hikes/1/watch"}, {Text: "Step: start asking"}, {Text: "to Oren Vale"}},
				{{Text: "10:58"}, {Text: "For new walkers", URL: "/hikes/5/watch"},
					{Text: "Counted 8 at the picnic ground",
						Note: "heard 9 min later"}, {Text: "Teo Marsh"}},
				{{Text: "06:34"}, {Text: "Quail Wash at first light",
					URL: "/hikes/1/watch"}, {Text: "Departed with 14"}, {Text: "Ines Calder"}},
			}},
	}
}
