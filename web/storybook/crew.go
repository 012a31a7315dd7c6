package storybook

import (
	staff "saltbush/internal/team"
	"saltbush/web/kit"
	"saltbush/web/team"
	teamview "saltbush/web/team/view"
	"saltbush/web/ui"
)

// crewStates lists the states of the pages about staff.
func crewStates() []StatePage {
	return []StatePage{
		{"staff", "Staff, gaps", teamview.Staff(gapsSample())},
		{"staff-none", "Staff, no gaps", teamview.Staff(teamview.StaffPage{Page: sampleStaffPage("Staff", "Staff"),
			Tabs: teamview.StaffTabs("Gaps", true)})},
		{"staff-rules", "Staff, rules and drives", teamview.StaffRules(staffRulesSample(ui.FormState{}))},
		{"staff-rules-wrong", "Staff, rules came back", teamview.StaffRules(staffRulesSample(ui.FormState{
			Values: map[string][]string{"minutes": {"soon"}, "from": {"7"}, "to": {"7"}},
			Errors: map[string]string{"minutes": "Give whole minutes, such as 75.",
				"to": "Choose another trail than the first."}}))},
		{"records", "Records of staff", teamview.Records(recordsSample())},
		{"record", "Record of one person", teamview.Record(recordSample(ui.FormState{}))},
		{"record-wrong", "Record, came back", teamview.Record(recordSample(ui.FormState{
			Values: map[string][]string{"from": {"soon"}, "level": {"leader"}, "reason": {""}},
			Errors: map[string]string{"from": "Give a day, such as 2027-03-14.",
				"reason": "Say why: the reason is kept with the date."}}))},
		{"record-none", "Record, nothing known",
			teamview.Record(teamview.RecordPage{Page: sampleStaffPage("Noor Whitlock", "Staff"),
				Tabs: teamview.StaffTabs("Records", false), Name: "Noor Whitlock",
				Now: teamview.StatusStamp(""), URL: "/staff/people/3",
				Led:          []ui.FigureText{{Label: "Last led", Value: "never"}},
				ObservedForm: team.ObservedForm().Fields(ui.FormState{})})},
		{"staffing", "Staffing of a hike", teamview.Staffing(staffingSample())},
		{"staffing-none", "Staffing, nobody is free", teamview.Staffing(bareStaffingSample())},
		{"mine", "My part", teamview.Mine(mineSample(ui.FormState{}))},
		{"mine-wrong", "My part, came back", teamview.Mine(mineSample(ui.FormState{
			Values: map[string][]string{"from": {"2026-05-20"}, "to": {"2026-05-10"}},
			Errors: map[string]string{"to": "The last day is before the first."}}))},
		{"asked", "Asked, by link", teamview.AskedByLink(askedSample("asked", true))},
		{"asked-yes", "Asked, accepted", teamview.AskedByLink(askedSample("accepted", true))},
		{"asked-over", "Asked, not any more", teamview.AskedByLink(askedSample("declined", false))},
	}
}

func gapsSample() teamview.StaffPage {
	return teamview.StaffPage{Page: sampleStaffPage("Staff", "Staff"), Tabs: teamview.StaffTabs("Gaps", true),
		Says: "6 hikes in the next 60 days. 2 cannot go as they stand: they have a gap stamped with a full triangle.",
		Days: []teamview.GapDay{
			{Day: "Sun 10 May", Title: "Saddle before breakfast",
				URL: "/hikes/12/staffing", Trail: "Quail Wash to the saddle", Gaps: []teamview.GapLine{
					{Stamp: teamview.GapStamp("no sweep", 0), Says: "Nobody is named."},
					{Stamp: teamview.GapStamp("clash", 0),
						Says: "Ines Calder as leader and as leader: Old Pump back by 12:20 " +
							"(nine in ten by the plan), " +
							"20 " +
							"min debrief, 75 min drive (typed): 13:55, and Saddle before breakfast meets at 13:00."},
					{Stamp: teamview.GapStamp("provisional", 2),
						Says: "Provisional: there is no second qualified person if the leader falls ill."},
				}},
			{Day: "Thu 14 May", Title: "Tomas Verde", URL: "/staff/people/2",
				Gaps: []teamview.GapLine{{Stamp: teamview.GapStamp("certificate ends", 2),
					Says: "Tomas Verde: wilderness first aid is valid through 14 May 2026, 6 days from now."}}},
			{Day: "Sat 16 May", Title: "Lantern Ridge, the whole loop",
				URL: "/hikes/14/staffing", Trail: "Lantern Ridge", Gaps: []teamview.GapLine{
					{Stamp: teamview.GapStamp("leader not accepted", 1),
						Says: "Noor Whitlock has been asked and has not said yes."},
					{Stamp: teamview.GapStamp("leader not qualified", 0),
						Says: "Noor Whitlock is lapsed since 1 Mar 2026; " +
							"may go up to moderate, and this hike is strenuous."},
				}},
		}}
}

func staffRulesSample(a ui.FormState) teamview.StaffRulesPage {
	return teamview.StaffRulesPage{Page: sampleStaffPage("Rules and drives", "Staff"),
		Tabs: teamview.StaffTabs("Rules and drives", true),
		Kinds: []teamview.KindLine{{Name: "wilderness first aid", Asked: "leader", Shared: "yes, another who may lead",
			RemoveURL: "/staff/rules/kinds/remove?kind=w"},
			{Name: "CPR", Asked: "leader and sweep", Shared: "no", RemoveURL: "/staff/rules/kinds/remove?kind=c"}},
		Kind: teamview.NewKindFields(a), Drive: teamview.NewDriveFields(a,
			[]ui.Option{{Value: "7", Label: "Quail Wash to the saddle"}, {Value: "8", Label: "Lantern Ridge"}}),
		Drives: ui.LedgerText{Cards: true,
			Columns: []ui.Column{{Label: "Between"}, {Label: "By car", Figure: true}, {Label: "From"}},
			Rows: [][]ui.Cell{{{Text: "Quail Wash to the saddle and Lantern Ridge"}, {Text: "1 h 15"}, {Text: "typed"}},
				{{Text: "Lantern Ridge and Old Pump Road"}, {Text: "34 min"},
					{Text: "estimated from the coordinates"}}}}}
}

func recordsSample() teamview.RecordsPage {
	papers := []teamview.GapLine{{Stamp: teamview.CertificateStamp(6, true), Says: "wilderness first aid"},
		{Stamp: teamview.CertificateStamp(-3, true), Says: "CPR"},
		{Stamp: teamview.CertificateStamp(0, false), Says: "leader agreement"}}
	return teamview.RecordsPage{Page: sampleStaffPage("Records of staff", "Staff"),
		Tabs: teamview.StaffTabs("Records", true),
		Trainees: []teamview.TraineeLine{{Name: "Noor Whitlock", URL: "/staff/people/3", Level: "candidate",
			Observed: "2 observed hikes", Last: "12 Apr 2026 on Old Pump Road: more practice"}},
		People: []teamview.RecordLine{
			{Name: "Ines Calder", URL: "/staff/people/1", Standing: teamview.StatusStamp("active"),
				Level: "mentor, up to very strenuous", Papers: papers[2:], Led: "4 in 12 months, 9 in 24",
				Last: "last on 3 May 2026"},
			{Name: "Tomas Verde", URL: "/staff/people/2", Standing: teamview.StatusStamp("provisional"),
				Level: "leader, up to moderate", Papers: papers, Led: "1 in 12 months, 1 in 24",
				Last: "last on 19 Apr 2026"},
			{Name: "Rosa Lind", URL: "/staff/people/4", Standing: teamview.StatusStamp(""),
				Led: "0 in 12 months, 0 in 24", Last: "never led a hike that is on record"},
		}}
}

func recordSample(a ui.FormState) teamview.RecordPage {
	return teamview.RecordPage{Page: sampleStaffPage("Tomas Verde", "Staff"), Tabs: teamview.StaffTabs("Records", true),
		Name: "Tomas Verde", URL: "/staff/people/2", CanManage: true,
		Now: teamview.StatusStamp("provisional"), NowSays: "Today leader, up to moderate hikes.",
		Changes: []teamview.ChangeLine{
			{From: "1 Apr 2026", Level: "leader", Class: "moderate", Endorsed: "endorsed for heat",
				Status: teamview.StatusStamp("provisional"), Reason: "Three observed hikes, all ready",
				By: "Ines Calder"},
			{From: "1 Mar 2026", Level: "sweep", Class: "moderate", Endorsed: "",
				Status: teamview.StatusStamp("lapsed"), Reason: "CPR ended", By: "Ines Calder"},
		},
		Papers: []teamview.CertificateLine{
			{Kind: "wilderness first aid", Issuer: "Sill Basin Rescue School", Number: "WF-118", Through: "14 May 2026",
				Evidence: "copy on file", State: teamview.CertificateStamp(6, true)},
			{Kind: "leader agreement", Issuer: "the house", Number: "", Through: "", Evidence: "signed at training",
				State: teamview.CertificateStamp(0, false)},
		},
		Missing: []string{"CPR"}, Observed: []teamview.ObservedLine{{Day: "12 Apr 2026", Trail: "Old Pump Road",
			Mentor: "Ines Calder", Skills: "roll and count, heat and water", Result: "ready",
			Note: "Calm when the count was one short."}},
		Led: []ui.FigureText{{Label: "Led in 12 months", Value: "1"}, {Label: "Led in 24 months", Value: "1"},
			{Label: "Last led", Value: "19 Apr 2026"}},
		Walked: []teamview.WalkedLine{{Day: "19 Apr 2026", Title: "Evening on the flat", URL: "/hikes/4",
			Trail: "Old Pump Road", Part: "leader"}}, Away: []string{"1 Jun 2026 to 14 Jun 2026"},
		Standing: kit.ApprovalForm().Fields(a), ObservedForm: team.ObservedForm().Fields(a),
		Certificate: kit.CertificateForm([]staff.CertificateKind{{Name: "wilderness first aid"},
			{Name: "CPR"}}).Fields(a)}
}

func staffingSample() teamview.StaffingPage {
	return teamview.StaffingPage{Page: sampleStaffPage("Staffing", "Desk"), URL: "/hikes/12/staffing",
		HikeURL: "/hikes/12/manage", Hike: "Saddle before breakfast", When: "Sunday 10 May 2026, meet 06:00",
		State: ui.StampOf("draft"), Asks: "A moderate hike, whose leader must be endorsed for rough ground.",
		Open: true, Role: "sweep",
		Blocks: []string{"Tomas Verde holds wilderness first aid through 9 May 2026 only, and the hike is on 10 " +
			"May 2026."},
		Provisional: "There is no second qualified person if the leader falls ill.",
		Clashes: []string{"Ines Calder as leader and as sweep: Old Pump back by 12:20 (nine in ten by the plan), " +
			"20 min debrief, 75 min drive (typed): 13:55, and Saddle before breakfast meets at 13:00."},
		Staff: []teamview.StaffLine{
			{Name: "Tomas Verde", Part: "leader", Answer: ui.StampOf("accepted"),
				Qualified: teamview.QualifiedStamp(true, 1, 0),
				Why:       []string{"holds wilderness first aid through 9 May 2026 only"}, Person: "a"},
			{Name: "Ines Calder", Part: "sweep", Answer: ui.StampOf("asked"),
				Qualified: teamview.QualifiedStamp(true, 0, 0), Person: "b", Asked: true},
			{Name: "Noor Whitlock", Part: "assistant", Answer: ui.StampOf("asked"),
				Qualified: teamview.QualifiedStamp(false, 0, 0), Person: "c", Asked: true},
		},
		OnCall:   teamview.StaffLine{Name: "Rosa Lind", Answer: ui.StampOf("asked"), Asked: true},
		Declines: []string{"Wren Abara as sweep, Sat 2 May, 19:10: away that week"},
		Figures: []ui.FigureText{{Label: "Qualified staff", Value: "2", Note: "of 3 on the staff; 1 has accepted"},
			{Label: "Needed", Value: "3", Note: "for 23 people with places; 3 for all 24 places"},
			{Label: "Most participants", Value: "16", Note: "with the qualified staff there is"}},
		NumberSays: []string{"The permit allows 25 with the staff: 23 participants and 3 of staff would be 26.",
			"1 person must give up a place: 22 are left. None of the 2 adults responsible for the 4 minors may be " +
				"among them."},
		Roles: []ui.Tab{{Label: "leader", URL: "?role=leader#free"},
			{Label: "sweep", URL: "?role=sweep#free", Current: true},
			{Label: "assistant", URL: "?role=assistant#free"}},
		Free: []teamview.CandidateLine{{Name: "Wren Abara", Account: "5",
			Fair: "0 in 90 days, last on 3 Jan 2026"},
			{Name: "Ash Moreno", Account: "6", Fair: "2 in 90 days, last on 26 Apr 2026"}},
		Others: []teamview.CandidateLine{{Name: "Rosa Lind", Account: "4", Why: []string{"is on call for this hike",
			"cannot: 9 May 2026 to 11 May 2026, family"}}}}
}

func bareStaffingSample() teamview.StaffingPage {
	p := staffingSample()
	p.Staff, p.OnCall, p.Declines, p.Blocks, p.Clashes, p.Free = nil, teamview.StaffLine{}, nil, nil, nil, nil
	return p
}

func mineSample(a ui.FormState) teamview.MinePage {
	line := teamview.PartLine{Day: "Sun 10 May", Clock: "06:00", Title: "Saddle before breakfast",
		URL: "/hikes/12", Trail: "Quail Wash to the saddle", Part: "sweep", Hike: "12", Person: "b",
		Because: teamview.NewBecause(ui.FormState{}, "b"),
		Clash: []string{"Old Pump back by 12:20 (nine in ten by the plan), 20 min debrief, 75 min drive (typed): " +
			"13:55, and Saddle before breakfast meets at 13:00."}}
	yes := teamview.PartLine{Day: "Sat 16 May", Clock: "05:15", Title: "Lantern Ridge, the whole loop",
		URL: "/hikes/14", Trail: "Lantern Ridge", Part: "leader", Hike: "14", Person: "d",
		Because: teamview.NewBecause(ui.FormState{}, "d")}
	return teamview.MinePage{Page: sampleStaffPage("My part", "My part"), Asked: []teamview.PartLine{line},
		Yes: []teamview.PartLine{yes}, Fields: teamview.NewAwayFields(a),
		Away: []teamview.AwayLine{{Words: "1 Jun 2026 to 14 Jun 2026", Note: "family",
			RemoveURL: "/mine/away/1/remove"},
			{Words: "from 1 May 2026 on, Fri", Note: "", RemoveURL: "/mine/away/2/remove"}},
		Record: []string{"You are leader, active, up to strenuous hikes.",
			"Wilderness first aid is valid through 14 May 2026: ends in 6 days.",
			"You led 4 in 12 months, 9 in 24; last on 3 May 2026."}}
}

func askedSample(answer string, open bool) teamview.AskedPage {
	p := teamview.AskedPage{Page: samplePrivatePage("Will you take this part?"), URL: "/asked/x", Name: "Ines Calder",
		Part: "sweep", Hike: "Saddle before breakfast", When: "Sunday 10 May 2026, meet 06:00",
		Says: "You are asked. Until you say yes, nobody counts on you.", Trail: "Quail Wash to the saddle",
		Meeting: "At the sign, 400 m past the cattle grid.", Answer: ui.StampOf(answer), Open: open,
		Because: teamview.NewBecause(ui.FormState{}, "b")}
	switch answer {
	case "accepted":
		p.Says = "You have said yes. Thank you. If you cannot any more, say so here."
	case "declined":
		p.Name, p.Says = "you", "You are not on the staff of this hike any more."
	}
	return p
}
