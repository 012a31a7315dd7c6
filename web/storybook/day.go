package storybook

import (
	"saltbush/internal/format"
	rollview "saltbush/web/roll/view"
	"saltbush/web/ui"
	watchview "saltbush/web/watch/view"
)

// dayPages lists the states of the roll and the board.
func dayPages() []StatePage {
	quiet := boardSample()
	quiet.OnCall, quiet.Rows = nil,
		watchview.BoardRowsText{BoardHeadText: watchview.BoardHeadText{AsOf: "Sun 10 May, 14:02:10"},
			Empty: ui.EmptyText{Title: "Nobody is out",
				Text: "Every party of today is back, counted by name and stood down. " +
					"Two hikes are posted for Saturday."}}
	lost := boardSample()
	lost.Live.URL = "/board/events"
	return []StatePage{
		{"roll", "Roll call at the trailhead", rollview.Roll(rollSample())},
		{"roll-out", "Roll on the trail", rollview.Roll(rollOut())},
		{"roll-claims", "Roll with records that contradict each other", rollview.Roll(rollClaims())},
		{"roll-unnamed", "Roll with somebody missing whose name nobody knows", rollview.Roll(rollUnnamed())},
		{"roll-back", "Roll at the cars", rollview.Roll(rollBack())},
		{"board", "Board", watchview.Board(boardSample())},
		{"board-quiet", "Board with nobody out", watchview.Board(quiet)},
		{"board-lost", "Board that has lost its line", watchview.Board(lost)},
		{"wall", "Wall display", watchview.Wall(wallSample(boardSample()))},
		{"wall-quiet", "Wall display with nobody out", watchview.Wall(wallSample(quiet))},
	}
}

func rollTabs(current int) []ui.Tab {
	tabs := []ui.Tab{{Label: "Roll call", URL: "/hikes/1/roll"}, {Label: "On the trail", URL: "/hikes/1/roll/out"},
		{Label: "Back", URL: "/hikes/1/roll/back"}}
	tabs[current].Current = true
	return tabs
}

func rollSample() rollview.RollPage {
	ask := []ui.ButtonText{{Label: "Here", Kind: ui.ButtonMain, Name: "kind", Value: "here"},
		{Label: "Not here", Name: "kind", Value: "not here"}}
	event := rollview.RollEvent{URL: "/hikes/1/roll", ID: "0197-sample"}
	return rollview.RollPage{
		Page: sampleStaffPage("Roll", "Desk"), Hike: "Quail Wash at first light",
		Day: "Sun 10 May, meet 06:00, leave 06:30", Stage: ui.StampOf("posted"), Tabs: rollTabs(0),
		URL: "/hikes/1/roll",
		Big: "2 of 6 here", Rest: "3 not answered yet. Leave by 06:40, or take the short way.",
		Part: "start",
		Start: []rollview.RollPerson{
			{ID: "1", Number: "1", Name: "Bashir Noor", State: ui.StampOf("here"), StateNote: "06:04",
				Buttons: rollButtons([]ui.ButtonText{{Label: "Not here after all", Kind: ui.ButtonQuiet, Name: "kind",
					Value: "undo"}}, "Bashir Noor"), Event: event},
			{ID: "2", Number: "2", Name: "Ines Calder", Role: "leader", State: ui.StampOf("here"), StateNote: "05:31"},
			{ID: "3", Number: "3", Name: "Lotte Vandermeer",
				Flags: []rollview.RollFlag{{Text: "Emergency contact is also on this hike: not fit for departure " +
					"until replaced", Grave: true}}, Buttons: rollButtons(ask, "Lotte Vandermeer"), Event: event},
			{ID: "4", Number: "4", Name: "Amaya Reyes",
				Flags: []rollview.RollFlag{{Text: "Talk first: longest walk lately is 4 km"},
					{Text: "Hears badly on the left: stand right of her"}}, Buttons: rollButtons(ask, "Amaya Reyes"),
				Event: event},
			{ID: "5", Number: "5", Name: "Jun Takeda", Flags: []rollview.RollFlag{{Text: "Under 18, with Hana Takeda"}},
				Buttons: rollButtons(ask, "Jun Takeda"), Event: event},
			{ID: "6", Number: "6", Name: "Hana Takeda", State: ui.StampOf("not here"),
				StateNote: "rung 06:11, no answer", Buttons: rollButtons(ask[:1], "Hana Takeda"), Event: event},
		},
		Depart: &rollview.RollDepart{Event: event, Says: "Leave with 2 out",
			Missing: []string{"3 people have no answer yet.",
				"The sweep has not counted."}, Blocked: "A party needs two staff; the sweep is not here."},
		Walkup: &rollview.RollWalkup{Event: event,
			Says:    "Only with a place free, the talk done, and 4.5 litres and shoes seen. 4 places are free.",
			Name:    ui.Field{Name: "name", ID: "walkup-name", Label: "Name"},
			Mobile:  ui.Field{Name: "mobile", ID: "walkup-mobile", Label: "Mobile", Kind: "tel"},
			Contact: ui.Field{Name: "contact", ID: "walkup-contact", Label: "Whom do we ring?"},
			ContactTel: ui.Field{Name: "contact_tel", ID: "walkup-tel", Label: "Their phone number",
				Kind: "tel"},
			Water: ui.Field{Name: "water", ID: "walkup-water", Label: "Water they carry", Unit: "litres", Short: true},
			Age: ui.Field{Name: "age", ID: "walkup-age", Label: "18 or over?",
				Options: []ui.Option{{Value: "adult", Label: "Yes"},
					{Value: "minor", Label: "No, a guardian is here and agrees"}}},
			Agree: ui.Field{Name: "agree", ID: "walkup-agree",
				Label: "They heard the risks read out and agree."}},
		Away: &rollview.RollAway{Event: event, Who: ui.Field{Name: "person", ID: "away-who", Label: "Who",
			Options: []ui.Option{{Value: "4", Label: "Amaya Reyes"}, {Value: "3", Label: "Lotte Vandermeer"}}},
			Reason: ui.Field{Name: "reason", ID: "away-why", Label: "Why",
				Options: []ui.Option{{Value: "water", Label: "Too little water"}, {Value: "shoes", Label: "Shoes"},
					{Value: "unwell", Label: "Not well today"}, {Value: "self", Label: "Decided it themselves"}}}},
		Facts: rollFacts(), Last: "Bashir Noor is here, 06:04",
		Undo: rollview.RollEvent{URL: "/hikes/1/roll", ID: "0197-undo"},
	}
}

func rollButtons(buttons []ui.ButtonText, name string) []ui.ButtonText {
	out := make([]ui.ButtonText, len(buttons))
	for i, b := range buttons {
		b.About = name
		out[i] = b
	}
	return out
}

func rollFacts() []format.Line {
	return []format.Line{{Label: "Off the trail by", Value: "11:30", Note: "heat; this time never moves later"},
		{Label: "Turn round", Value: "by 08:50"}, {Label: "Watch time", Value: "11:21"},
		{Label: "Call time", Value: "11:51", Note: "hot day: half an hour after the watch time"},
		{Label: "On call", Value: "Oren Vale, 555 010 0142", URL: "tel:+15550100142"}}
}

func rollOut() rollview.RollPage {
	p := rollSample()
	event := rollview.RollEvent{URL: "/hikes/1/roll", ID: "0197-out"}
	p.Stage, p.Tabs = ui.StampOf("out"), rollTabs(1)
	p.Big, p.Rest = "14 out", "Left at 06:34. Turn round by 08:50, wherever you are."
	p.Flags = []rollview.RollWarning{{Note: ui.NoteText{Kind: ui.NoteCaution, Title: "Leader and sweep disagree",
		Text: "at Notch Junction the leader counted 14 and the sweep 13: count again by name"}}}
	p.Start, p.Part = nil, "trail"
	p.Depart, p.Walkup, p.Away = nil, nil, nil
	p.Count = &rollview.RollCount{Event: event, Expected: "14 expected",
		Place: ui.Field{Name: "place", ID: "count-place", Label: "Where",
			Options: []ui.Option{{Value: "notch", Label: "Notch Junction"}, {Value: "saddle", Label: "The saddle"},
				{Value: "other", Label: "Somewhere else"}}},
		Leader: ui.Field{Name: "leader", ID: "count-leader", Label: "Leader counts"},
		Sweep:  ui.Field{Name: "sweep", ID: "count-sweep", Label: "Sweep counts"},
		Done: ui.LedgerText{Caption: "Counts so far",
			Columns: []ui.Column{{Label: "At"}, {Label: "Where"}, {Label: "Leader", Figure: true},
				{Label: "Sweep", Figure: true}}, Rows: [][]ui.Cell{{{Text: "07:31"}, {Text: "Notch Junction"},
				{Text: "14"}, {Text: "13"}}, {{Text: "06:34"}, {Text: "Trailhead"}, {Text: "14"}, {Text: "14"}}}}}
	people := []ui.Option{{Value: "1", Label: "Bashir Noor"}, {Value: "4", Label: "Amaya Reyes"}}
	p.Early = &rollview.RollEarly{Event: event, Who: ui.Field{Name: "person", ID: "early-who", Label: "Who leaves",
		Options: people}, Buddy: ui.Field{Name: "buddy", ID: "early-buddy", Label: "Who walks with them",
		Options: people}, Where: ui.Field{Name: "place", ID: "early-where", Label: "Where they leave"},
		Going: ui.Field{Name: "going", ID: "early-going",
			Label: "Where they go, and how we hear that they are there"}}
	p.Last = "Count at Notch Junction, 07:31"
	return p
}

func rollClaims() rollview.RollPage {
	p := rollSample()
	claim := func(text, event string) rollview.RollClaim {
		return rollview.RollClaim{URL: "/hikes/1/roll", Text: text, Event: event}
	}
	p.Flags = []rollview.RollWarning{{
		Note: ui.NoteText{Kind: ui.NoteCaution, Title: "Here and not here",
			Text: "Lotte Vandermeer: here, by one record, and not here, by another. Look, then settle it"},
		Claims: []rollview.RollClaim{
			claim("Absent, 06:11, by Ines Calder", "0197-absent"), claim("Here, 06:14, by Teo Marsh", "0197-here"),
		},
	}}
	return p
}

func rollUnnamed() rollview.RollPage {
	p := rollOut()
	event := rollview.RollEvent{URL: "/hikes/1/roll", ID: "0197-named"}
	p.Tabs, p.Part, p.Count, p.Early = rollTabs(1), "help", nil, nil
	p.Search.Hidden = true
	p.Flags = []rollview.RollWarning{
		{Note: ui.NoteText{Kind: ui.NoteGrave, Title: "Somebody is missing",
			Text: "1 person not known by name: reported missing by Ines Calder, last seen at Notch Junction"}},
		{Note: ui.NoteText{Kind: ui.NoteCaution, Title: "Count too low",
			Text: "Back party: 5 counted at the saddle, 6 expected. Missing from this count: Jun Takeda. " +
				"Look first along the back party's route since Notch Junction. The last right count was at Notch " +
				"Junction at 09:40."}},
	}
	p.Thunder = rollview.RollThunder{Shown: true, Note: ui.NoteText{Kind: ui.NoteCaution,
		Title: "Thunder: resume no sooner than 12:52",
		Text: "Wait 30 minutes after the last thunder; if you hear it again, start over. The watch time does not " +
			"change until you record a delay below."}}
	p.OnHelp = []rollview.RollForm{{
		Key: "named", Title: "Who the missing person is", Open: true, Event: event,
		Text: "For somebody who was recorded as missing without a name.",
		Asks: []rollview.RollAsk{{As: "ticks", Field: ui.Field{Name: "person", ID: "named-who", Label: "Who"},
			People: []rollview.RollTick{{ID: "4", Name: "Amaya Reyes"}, {ID: "5", Name: "Jun Takeda"}}}},
		Button: ui.ButtonText{Label: "This is who is missing", Name: "kind", Value: "named", Wide: true},
	}}
	return p
}

func rollBack() rollview.RollPage {
	p := rollSample()
	event := rollview.RollEvent{URL: "/hikes/1/roll", ID: "0197-back"}
	back := []ui.ButtonText{{Label: "Back", Kind: ui.ButtonMain, Name: "kind", Value: "back"}}
	p.Stage, p.Tabs = ui.StampOf("out"), rollTabs(2)
	p.Big, p.Rest = "2 of 4 back",
		"1 to come, 1 left early and not yet known to be at the car. The hike stays open until both are."
	p.Depart, p.Walkup, p.Away = nil, nil, nil
	p.Start, p.Part = nil, "back"
	p.Back = []rollview.RollPerson{
		{ID: "4", Number: "4", Name: "Amaya Reyes", State: ui.StampOf("left early"),
			StateNote: "08:05 from Notch Junction with Hana Takeda; not yet known to be at the car",
			Buttons: rollButtons([]ui.ButtonText{{Label: "At the car", Kind: ui.ButtonMain, Name: "kind",
				Value: "at the car"}}, "Amaya Reyes"), Event: event},
		{ID: "3", Number: "3", Name: "Lotte Vandermeer", State: ui.StampOf("out"),
			StateNote: "last counted 09:40 at the wash", Buttons: rollButtons(back, "Lotte Vandermeer"), Event: event},
		{ID: "1", Number: "1", Name: "Bashir Noor", State: ui.StampOf("back"), StateNote: "10:22"},
		{ID: "2", Number: "2", Name: "Ines Calder", Role: "leader", State: ui.StampOf("back"), StateNote: "10:24"},
	}
	p.Last = "Ines Calder is back, 10:24"
	return p
}

func liveSample() watchview.LiveText { return watchview.LiveText{Clock: "11:33:05"} }

func wallSample(p watchview.BoardPage) watchview.WallPage {
	return watchview.WallPage{Page: p.Page, Live: p.Live, Rows: p.Rows, BoardURL: "/board"}
}

func boardSample() watchview.BoardPage {
	p := sampleStaffPage("Board", "Board")
	return watchview.BoardPage{
		Page: p, Live: liveSample(), TodayURL: "/board/today", WallURL: "/board/wall",
		OnCall: []format.Line{{Label: "On call", Value: "Oren Vale, 555 010 0142",
			URL: "tel:+15550100142"}, {Label: "Deputy", Value: "Sunniva Holt, 555 010 0177", URL: "tel:+15550100177"}},
		Rows: watchview.BoardRowsText{BoardHeadText: watchview.BoardHeadText{AsOf: "Sun 10 May, 11:33:05"},
			Parties: []watchview.BoardRow{
				{ID: "party-9", URL: "/hikes/9/watch", HandOverURL: "/hikes/9/hand-over",
					Phase: ui.StampOf("alert"), Trail: "Lantern Ridge", Hike: "The ridge before the heat",
					Leader: "Teo Marsh", Tel: "555 010 0123", Out: "13",
					Count: "12 of 12 at Notch Junction, 11:24", ExpectedAt: "12:40", WatchAt: "13:35",
					Alarms: []string{"Wren Abara is missing since 11:16. Call for help at 11:46."},
					Next:   "call for help 11:46", NextIn: "in 13 min",
					NextSays: "Asking has brought no word. On-call and coordinator ask more widely and warn the land " +
						"manager. Next: Call the emergency number and say where first.",
					Flags: []string{"Wren Abara: missed by Teo Marsh, last seen at Notch Junction"}, Grave: true,
					Act: ui.ButtonText{Label: "I have it", URL: "/board/9/acknowledge", Kind: ui.ButtonMain,
						About: "The ridge before the heat"}},
				{ID: "party-1", URL: "/hikes/1/watch", HandOverURL: "/hikes/1/hand-over",
					Phase: ui.StampOf("uncertainty"),
					Trail: "Quail Wash to the saddle", Hike: "Quail Wash at first light", Leader: "Ines Calder",
					Tel: "555 010 0119", Out: "14", Count: "14 of 14 at the saddle, 08:44",
					ExpectedAt: "10:15", WatchAt: "11:21",
					Next: "Call time 11:51", NextIn: "in 18 min",
					NextSays: "Call the emergency number and read the hand-over sheet.",
					Flags:    []string{"heat", "2 under 18"}, Grave: true,
					Act: ui.ButtonText{Label: "I have it", URL: "/hikes/1/watch/mine",
						Kind: ui.ButtonMain, About: "Quail Wash at first light"}},
				{ID: "party-5", URL: "/hikes/5/watch", HandOverURL: "/hikes/5/hand-over", Phase: ui.StampOf("due"),
					Trail: "Smoke Tree Flats", Hike: "For new walkers",
					Leader: "Teo Marsh", Tel: "555 010 0123", Out: "9",
					Count: "8 of 9 at the picnic ground, 10:58", CountBad: true, ExpectedAt: "11:10", WatchAt: "11:40",
					Next: "Watch time 11:40", NextIn: "in 7 min", NextSays: "Ring the leader, then the sweep.",
					Flags: []string{"count too low"}},
				{ID: "party-6", URL: "/hikes/6/watch", HandOverURL: "/hikes/6/hand-over",
					Phase: ui.StampOf("").WithNote("departure not reported"), Trail: "Potter's Tanks",
					Hike: "Tanks and petroglyphs", Leader: "Rafe Ould", Tel: "555 010 0131", Out: "not known",
					Count: "none", ExpectedAt: "11:30", WatchAt: "12:50", Expected: "from the planned start",
					Next:   "Watch time 12:50",
					NextIn: "in 1 h 17", NextSays: "Departure is not confirmed: ring the leader."},
				{ID: "party-7", URL: "/hikes/7/watch", HandOverURL: "/hikes/7/hand-over", Phase: ui.StampOf("on time"),
					Trail: "Lantern Ridge", Hike: "Lantern Ridge",
					Leader: "Maren Okoye", Tel: "555 010 0155", Out: "12",
					Count: "12 of 12 at Cairn Gap, 10:30", ExpectedAt: "12:40", WatchAt: "14:10",
					Next:   "Watch time 14:10",
					NextIn: "in 2 h 37", NextSays: "Nothing to do."},
			}},
	}
}
