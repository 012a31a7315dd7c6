package view

// crewStates lists the states of the pages about staff as such, drawn from fixed data.
func crewStates() []StatePage {
	return []StatePage{
		{"staff", "Staff, gaps", Staff(gapsSample())},
		{"staff-none", "Staff, no gaps", Staff(StaffPage{Page: sampleStaffPage("Staff", "Staff"), Tabs: StaffTabs("Gaps", true)})},
		{"staff-rules", "Staff, rules and drives", StaffRules(staffRulesSample(Answers{}))},
		{"staff-rules-wrong", "Staff, rules came back", StaffRules(staffRulesSample(Answers{
			Typed: map[string][]string{"minutes": {"soon"}, "from": {"7"}, "to": {"7"}},
			Wrong: map[string]string{"minutes": "Give whole minutes, such as 75.", "to": "Choose another trail than the first."}}))},
		{"records", "Records of staff", Records(recordsSample())},
		{"record", "Record of one person", Record(recordSample(Answers{}))},
		{"record-wrong", "Record, came back", Record(recordSample(Answers{
			Typed: map[string][]string{"from": {"soon"}, "level": {"leader"}, "reason": {""}},
			Wrong: map[string]string{"from": "Give a day, such as 2027-03-14.", "reason": "Say why: the reason is kept with the date."}}))},
		{"record-none", "Record, nothing known", Record(RecordPage{Page: sampleStaffPage("Noor Whitlock", "Staff"), Tabs: StaffTabs("Records", false), Name: "Noor Whitlock",
			Now: StandingStamp(""), URL: "/staff/people/3", Led: []FigureText{{Label: "Last led", Value: "never"}}, ObservedForm: observedSample(Answers{})})},
		{"staffing", "Staffing of a hike", Staffing(staffingSample())},
		{"staffing-none", "Staffing, nobody is free", Staffing(bareStaffingSample())},
		{"mine", "My part", Mine(mineSample(Answers{}))},
		{"mine-wrong", "My part, came back", Mine(mineSample(Answers{
			Typed: map[string][]string{"from": {"2026-05-20"}, "to": {"2026-05-10"}}, Wrong: map[string]string{"to": "The last day is before the first."}}))},
		{"asked", "Asked, by link", AskedByLink(askedSample("asked", true))},
		{"asked-yes", "Asked, accepted", AskedByLink(askedSample("accepted", true))},
		{"asked-over", "Asked, not any more", AskedByLink(askedSample("declined", false))},
	}
}

func gapsSample() StaffPage {
	return StaffPage{Page: sampleStaffPage("Staff", "Staff"), Tabs: StaffTabs("Gaps", true), Says: "6 hikes in the next 60 days. 2 cannot go as they stand: they have a gap stamped with a full triangle.",
		Days: []GapDay{
			{Day: "Sun 10 May", Title: "Saddle before breakfast", URL: "/hikes/12/staffing", Trail: "Quail Wash to the saddle", Gaps: []GapLine{
				{GapStamp("no sweep", 0), "Nobody is named."},
				{GapStamp("clash", 0), "Ines Calder as leader and as leader: Old Pump back by 12:20 (nine in ten by the plan), 20 min debrief, 75 min drive (typed): 13:55, and Saddle before breakfast meets at 13:00."},
				{GapStamp("provisional", 2), "Provisional: there is no second qualified person if the leader falls ill."},
			}},
			{Day: "Thu 14 May", Title: "Tomas Verde", URL: "/staff/people/2", Gaps: []GapLine{{GapStamp("certificate ends", 2), "Tomas Verde: wilderness first aid is valid through 14 May 2026, 6 days from now."}}},
			{Day: "Sat 16 May", Title: "Lantern Ridge, the whole loop", URL: "/hikes/14/staffing", Trail: "Lantern Ridge", Gaps: []GapLine{
				{GapStamp("leader not accepted", 1), "Noor Whitlock has been asked and has not said yes."},
				{GapStamp("leader not qualified", 0), "Noor Whitlock is lapsed since 1 Mar 2026; may go up to moderate, and this hike is strenuous."},
			}},
		}}
}

func staffRulesSample(a Answers) StaffRulesPage {
	return StaffRulesPage{Page: sampleStaffPage("Rules and drives", "Staff"), Tabs: StaffTabs("Rules and drives", true),
		Kinds: []KindLine{{"wilderness first aid", "leader", "yes, another who may lead", "/staff/rules/kinds/remove?kind=w"}, {"CPR", "leader and sweep", "no", "/staff/rules/kinds/remove?kind=c"}},
		Kind:  NewKindFields(a), Drive: NewDriveFields(a, []Option{{Value: "7", Label: "Quail Wash to the saddle"}, {Value: "8", Label: "Lantern Ridge"}}),
		Drives: LedgerText{Cards: true, Columns: []Column{{Label: "Between"}, {Label: "By car", Figure: true}, {Label: "From"}},
			Rows: [][]Cell{{{Text: "Quail Wash to the saddle and Lantern Ridge"}, {Text: "1 h 15"}, {Text: "typed"}}, {{Text: "Lantern Ridge and Old Pump Road"}, {Text: "34 min"}, {Text: "estimated from the coordinates"}}}}}
}

func recordsSample() RecordsPage {
	papers := []GapLine{{PaperStamp(6, true), "wilderness first aid"}, {PaperStamp(-3, true), "CPR"}, {PaperStamp(0, false), "leader agreement"}}
	return RecordsPage{Page: sampleStaffPage("Records of staff", "Staff"), Tabs: StaffTabs("Records", true),
		Trainees: []TraineeLine{{"Noor Whitlock", "/staff/people/3", "candidate", "2 observed hikes", "12 Apr 2026 on Old Pump Road: more practice"}},
		People: []RecordLine{
			{Name: "Ines Calder", URL: "/staff/people/1", Standing: StandingStamp("active"), Level: "mentor, up to very strenuous", Papers: papers[2:], Led: "4 in 12 months, 9 in 24", Last: "last on 3 May 2026"},
			{Name: "Tomas Verde", URL: "/staff/people/2", Standing: StandingStamp("provisional"), Level: "leader, up to moderate", Papers: papers, Led: "1 in 12 months, 1 in 24", Last: "last on 19 Apr 2026"},
			{Name: "Rosa Lind", URL: "/staff/people/4", Standing: StandingStamp(""), Led: "0 in 12 months, 0 in 24", Last: "never led a hike that is on record"},
		}}
}

func observedSample(a Answers) ObservedFields {
	return NewObservedFields(a, options("briefing", "roll and count", "heat and water"), options("ready", "more practice", "not yet"))
}

func recordSample(a Answers) RecordPage {
	return RecordPage{Page: sampleStaffPage("Tomas Verde", "Staff"), Tabs: StaffTabs("Records", true), Name: "Tomas Verde", URL: "/staff/people/2", CanManage: true,
		Now: StandingStamp("provisional"), NowSays: "Today leader, up to moderate hikes.",
		Changes: []ChangeLine{
			{"1 Apr 2026", "leader", "moderate", "endorsed for heat", StandingStamp("provisional"), "Three observed hikes, all ready", "Ines Calder"},
			{"1 Mar 2026", "sweep", "moderate", "", StandingStamp("lapsed"), "CPR ended", "Ines Calder"},
		},
		Papers: []PaperLine{
			{"wilderness first aid", "Sill Basin Rescue School", "WF-118", "14 May 2026", "copy on file", PaperStamp(6, true)},
			{"leader agreement", "the house", "", "", "signed at training", PaperStamp(0, false)},
		},
		Missing: []string{"CPR"}, Observed: []ObservedLine{{"12 Apr 2026", "Old Pump Road", "Ines Calder", "roll and count, heat and water", "ready", "Calm when the count was one short."}},
		Led:    []FigureText{{Label: "Led in 12 months", Value: "1"}, {Label: "Led in 24 months", Value: "1"}, {Label: "Last led", Value: "19 Apr 2026"}},
		Walked: []WalkedLine{{"19 Apr 2026", "Evening on the flat", "/hikes/4", "Old Pump Road", "leader"}}, Away: []string{"1 Jun 2026 to 14 Jun 2026"},
		Standing:    NewStandingFields(a, options("candidate", "sweep", "leader"), options("easiest", "moderate"), options("rough ground", "heat"), options("active", "lapsed")),
		Certificate: NewCertificateFields(a, options("wilderness first aid", "CPR")), ObservedForm: observedSample(a)}
}

func staffingSample() StaffingPage {
	return StaffingPage{Page: sampleStaffPage("Staffing", "Desk"), URL: "/hikes/12/staffing", HikeURL: "/hikes/12/manage", Hike: "Saddle before breakfast", When: "Sunday 10 May 2026, meet 06:00",
		State: StampOf("draft"), Asks: "A moderate hike, whose leader must be endorsed for rough ground.", Open: true, Role: "sweep",
		Blocks:      []string{"Tomas Verde holds wilderness first aid through 9 May 2026 only, and the hike is on 10 May 2026."},
		Provisional: "There is no second qualified person if the leader falls ill.",
		Clashes:     []string{"Ines Calder as leader and as sweep: Old Pump back by 12:20 (nine in ten by the plan), 20 min debrief, 75 min drive (typed): 13:55, and Saddle before breakfast meets at 13:00."},
		Staff: []StaffLine{
			{Name: "Tomas Verde", Part: "leader", Answer: StampOf("accepted"), Qualified: QualifiedStamp(true, 1, 0), Why: []string{"holds wilderness first aid through 9 May 2026 only"}, Person: "a"},
			{Name: "Ines Calder", Part: "sweep", Answer: StampOf("asked"), Qualified: QualifiedStamp(true, 0, 0), Person: "b", Asked: true},
			{Name: "Noor Whitlock", Part: "assistant", Answer: StampOf("asked"), Qualified: QualifiedStamp(false, 0, 0), Person: "c", Asked: true},
		},
		OnCall: StaffLine{Name: "Rosa Lind", Answer: StampOf("asked"), Asked: true}, Declines: []string{"Wren Abara as sweep, Sat 2 May, 19:10: away that week"},
		Figures:    []FigureText{{Label: "Qualified staff", Value: "2", Note: "of 3 on the staff; 1 has accepted"}, {Label: "Needed", Value: "3", Note: "for 23 people with places; 3 for all 24 places"}, {Label: "Most participants", Value: "16", Note: "with the qualified staff there is"}},
		NumberSays: []string{"The permit allows 25 with the staff: 23 participants and 3 of staff would be 26.", "1 person must give up a place: 22 are left. None of the 2 adults responsible for the 4 minors may be among them."},
		Roles:      []Tab{{Label: "leader", URL: "?role=leader#free"}, {Label: "sweep", URL: "?role=sweep#free", Current: true}, {Label: "assistant", URL: "?role=assistant#free"}},
		Free:       []CandidateLine{{Name: "Wren Abara", Account: "5", Fair: "0 in 90 days, last on 3 Jan 2026"}, {Name: "Ash Moreno", Account: "6", Fair: "2 in 90 days, last on 26 Apr 2026"}},
		Others:     []CandidateLine{{Name: "Rosa Lind", Account: "4", Why: []string{"is on call for this hike", "cannot: 9 May 2026 to 11 May 2026, family"}}}}
}

func bareStaffingSample() StaffingPage {
	p := staffingSample()
	p.Staff, p.OnCall, p.Declines, p.Blocks, p.Clashes, p.Free = nil, StaffLine{}, nil, nil, nil, nil
	return p
}

func mineSample(a Answers) MinePage {
	line := PartLine{Day: "Sun 10 May", Clock: "06:00", Title: "Saddle before breakfast", URL: "/hikes/12", Trail: "Quail Wash to the saddle", Part: "sweep", Hike: "12", Person: "b",
		Because: NewBecause(Answers{}, "b"), Clash: []string{"Old Pump back by 12:20 (nine in ten by the plan), 20 min debrief, 75 min drive (typed): 13:55, and Saddle before breakfast meets at 13:00."}}
	yes := PartLine{Day: "Sat 16 May", Clock: "05:15", Title: "Lantern Ridge, the whole loop", URL: "/hikes/14", Trail: "Lantern Ridge", Part: "leader", Hike: "14", Person: "d", Because: NewBecause(Answers{}, "d")}
	return MinePage{Page: sampleStaffPage("My part", "My part"), Asked: []PartLine{line}, Yes: []PartLine{yes}, Fields: NewAwayFields(a),
		Away:   []AwayLine{{"1 Jun 2026 to 14 Jun 2026", "family", "/mine/away/1/remove"}, {"from 1 May 2026 on, Fri", "", "/mine/away/2/remove"}},
		Record: []string{"You are leader, active, up to strenuous hikes.", "Wilderness first aid is valid through 14 May 2026: ends in 6 days.", "You led 4 in 12 months, 9 in 24; last on 3 May 2026."}}
}

func askedSample(answer string, open bool) AskedPage {
	p := AskedPage{Page: samplePrivatePage("Will you take this part?"), URL: "/asked/x", Name: "Ines Calder", Part: "sweep", Hike: "Saddle before breakfast", When: "Sunday 10 May 2026, meet 06:00",
		Says: "You are asked. Until you say yes, nobody counts on you.", Trail: "Quail Wash to the saddle", Meeting: "At the sign, 400 m past the cattle grid.", Answer: StampOf(answer), Open: open, Because: NewBecause(Answers{}, "b")}
	switch answer {
	case "accepted":
		p.Says = "You have said yes. Thank you. If you cannot any more, say so here."
	case "declined":
		p.Name, p.Says = "you", "You are not on the staff of this hike any more."
	}
	return p
}
