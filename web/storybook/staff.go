package storybook

import (
	"strconv"

	"saltbush/internal/trail"
	"saltbush/web/accounts"
	"saltbush/web/hikes"
	"saltbush/web/trails"

	"saltbush/internal/format"
	"saltbush/internal/track"
	accountsview "saltbush/web/accounts/view"
	"saltbush/web/chart"
	hikesview "saltbush/web/hikes/view"
	settingsview "saltbush/web/settings/view"
	trailsview "saltbush/web/trails/view"
	"saltbush/web/ui"
)

// StaffStates lists the states of the staff's pages.
func StaffStates() []StatePage {
	states := []StatePage{
		{"trails", "Trails", trailsview.Trails(trailsSample())},
		{"trails-public", "Trails, public", trailsview.Trails(publicly(trailsSample()))},
		{"trails-empty", "Trails, none yet",
			trailsview.Trails(trailsview.TrailsPage{Page: sampleStaffPage("Trails", "Trails"), Manage: true})},
		{"trail", "Trail", trailsview.Trail(trailSample())},
		{"trail-bare", "Trail of which little is known", trailsview.Trail(bareTrailSample())},
		{"trail-form", "Add a trail", trailsview.TrailForm(trailFormSample(ui.FormState{}))},
		{"trail-form-wrong", "Add a trail, came back", trailsview.TrailForm(trailFormSample(wrongTrailSample()))},
		{"trail-form-edit", "Edit a trail", trailsview.TrailForm(editTrailSample())},
		{"desk", "Desk", hikesview.Desk(deskSample())},
		{"desk-empty", "Desk, nothing to do",
			hikesview.Desk(hikesview.DeskPage{Page: sampleStaffPage("Desk", "Desk")})},
		{"hike-form", "Schedule a hike", hikesview.HikeForm(hikeFormSample(ui.FormState{}))},
		{"hike-form-wrong", "Schedule a hike, came back", hikesview.HikeForm(hikeFormSample(wrongHikeSample()))},
		{"hike-form-no-trails", "Schedule a hike, no trails",
			hikesview.HikeForm(hikesview.HikeFormPage{Page: sampleStaffPage("Schedule a hike", "Desk"),
				NoTrails: true})},
		{"house", "Rules of the house", settingsview.House(houseSample(ui.FormState{}))},
		{"house-wrong", "Rules of the house, came back", settingsview.House(houseSample(wrongHouseSample()))},
		{"people", "People", accountsview.People(peopleSample())},
		{"people-invited", "People, one invited", accountsview.People(invitedSample())},
		{"people-wrong", "People, came back", accountsview.People(wrongPeopleSample())},
	}
	return append(append(append(states, crewStates()...), hikeStates()...), keptStates()...)
}

func trailsSample() trailsview.TrailsPage {
	return trailsview.TrailsPage{Page: sampleStaffPage("Trails", "Trails"), Manage: true, Trails: []ui.TrailLine{
		{Name: "Quail Wash to the saddle", URL: "/trails/7",
			Summary: "Gravel wash, then a stony climb. No shade after the notch.", Length: "7.7 km", Ascent: "240 m",
			Lowest: "612 m", Highest: "838 m", Number: "87", Class: "moderate", Shape: "out-and-back"},
		{Name: "Lantern Ridge", URL: "/trails/8", Summary: "A ridge with drops on both sides; hands are needed twice.",
			Length: "11.2 km", Ascent: "655 m",
			Lowest: "702 m", Highest: "1242 m", Number: "173", Class: "strenuous", Shape: "loop"},
		{Name: "Old Pump Road", URL: "/trails/9", Summary: "A level track to a dry pump.",
			Length: "5.1 km", Shape: "one-way"},
	}}
}

func publicly(p trailsview.TrailsPage) trailsview.TrailsPage {
	p.Page, p.Manage = samplePage("Trails", ""), false
	return p
}

func trailSample() trailsview.TrailPage {
	way, points := washWalk(), washPoints()
	rating := track.Rate(way.Length, way.Ascent, way.Steepest)
	p := trailsview.TrailPage{Page: sampleStaffPage("Quail Wash to the saddle",
		"Trails"), Manage: true, URL: "/trails/7", Name: "Quail Wash to the saddle",
		Summary: "Up a gravel wash between low walls, then a stony climb to a saddle with a view over the salt flat. " +
			"No shade after the fork.",
		Length: format.Length(way.Length, format.Metric), Ascent: format.Height(way.Ascent, format.Metric),
		Descent: format.Height(way.Descent, format.Metric),
		Lowest:  format.Height(way.Lowest, format.Metric), Highest: format.Height(way.Highest, format.Metric),
		Steepest: format.Slope(way.Steepest), SteepestWhere: "from 3.5 to 3.6 km",
		Number: strconv.Itoa(rating.Number), Class: string(rating.Class), Raised: rating.Raised, Shape: "out-and-back",
		Surface: "wash", Zone: "America/Phoenix",
		TrackNotes:  []string{"3 points lay an impossible jump away from the rest and were left out."},
		Map:         chart.Map(chart.NewMapDrawing(way, points, format.Metric)),
		Profile:     chart.Profile(chart.NewProfileDrawing(way, points, format.Metric)),
		Meeting:     "At the sign, 400 m past the cattle grid.",
		Manager:     "Sill Basin Reserve, warden's office, 555-0142",
		PermitCap:   "16 people, staff counted",
		ScheduleURL: "/hikes/new?trail=7", EditURL: "/trails/7/edit", TrackURL: "/trails/7/track.gpx",
		ShapeFields: trails.ShapeForm(track.OutAndBack).Fields(ui.FormState{}),
		Point:       trails.PointForm(format.Metric).Fields(ui.FormState{}),
		Ground:      groundSample(),
		Year:        yearSample(), YearFields: trails.YearForm().Filled(ui.FormState{}, trail.TrailNormals{}),
	}
	notes := []string{"Room for nine cars. No water.", "", "Room for twelve.",
		"600 m down to the road, two bars of signal.", "", "Wind."}
	for i, pt := range points {
		p.Points = append(p.Points, trailsview.TrailPoint{Kind: pt.Kind, Name: pt.Name,
			Along: format.Length(pt.Along, format.Metric), Note: notes[i],
			RemoveURL: "/trails/7/points/" + strconv.Itoa(i+1) + "/remove"})
	}
	return p
}

func bareTrailSample() trailsview.TrailPage {
	return trailsview.TrailPage{Page: samplePage("Old Pump Road", ""), Name: "Old Pump Road", Length: "5.1 km",
		Shape: "one-way", Zone: "America/Phoenix", Surface: "firm", Ground: bareGround(),
		TrackNotes: []string{"The recording has no heights: climb and slopes are unknown and shown as zero."}}
}

func trailFormSample(a ui.FormState) trailsview.TrailFormPage {
	return trailsview.TrailFormPage{Page: sampleStaffPage("Add a trail", "Trails"), URL: "/trails", BackURL: "/trails",
		Zones:  []string{"America/Denver", "America/Phoenix"},
		Fields: trails.TrailForm().Fields(a)}
}

func wrongTrailSample() ui.FormState {
	return ui.FormState{
		Values: map[string][]string{"name": {"Quail Wash"}, "zone": {"Phoenix"}, "surface": {"wash"}, "shape": {"loop"},
			"permit_cap": {"a dozen"}},
		Errors: map[string]string{
			"file":       "Line 214: a point without a longitude. The file was not taken.",
			"zone":       "Give the trailhead's time zone, such as America/Denver.",
			"permit_cap": "Give a party size between 1 and 500, or leave it empty where none is known.",
		}}
}

func editTrailSample() trailsview.TrailFormPage {
	p := trailFormSample(ui.FormState{})
	p.Fields = trails.TrailEditForm().Fields(ui.FormState{Values: map[string][]string{
		"name": {"Quail Wash to the saddle"}, "summary": {"Up a gravel wash between low walls."},
		"zone": {"America/Phoenix"}, "surface": {"wash"},
		"meeting": {"At the sign, 400 m past the cattle grid."}, "manager": {"Sill Basin Reserve"},
		"permit_cap": {"16"}, "signal": {""},
	}})
	p.Title, p.Edit, p.URL, p.BackURL = "Edit a trail", true, "/trails/7", "/trails/7"
	return p
}

func deskSample() hikesview.DeskPage {
	saddle := hikesview.DeskLine{Day: "Sun 10 May", Clock: "06:00", Title: "Saddle before breakfast",
		URL: "/hikes/12/manage", Trail: "Quail Wash to the saddle",
		Staff: "Ines Calder leads, Tomas Verde sweeps", Places: "12 of 14 places taken, 3 waiting",
		State: ui.StampOf("posted"), Verdict: hikesview.VerdictStamp("change"),
		Task: hikesview.DeskTask{Text: "Decide whether it goes", When: "by Sat 9 May, 12:30: in 3 h 10"},
		Warning: "No on-call contact can be reached. Approved anyway by Ash Moreno, Sat 9 May, 05:40: " +
			"the cabin has a radio"}
	late := hikesview.DeskLine{Day: "Sat 9 May", Clock: "17:00", Title: "Evening on the flat", URL: "/hikes/11/manage",
		Trail: "Old Pump Road", Staff: "Ines Calder leads",
		Places: "6 of 10 places taken", State: ui.StampOf("posted"), Verdict: hikesview.VerdictStamp("go"),
		Task: hikesview.DeskTask{Text: "Decide whether it goes", When: "by Fri 8 May, 23:00: passed 10 h ago",
			Late: true}}
	ridge := hikesview.DeskLine{Day: "Sat 16 May", Clock: "05:15", Title: "Lantern Ridge, the whole loop",
		URL: "/hikes/14/manage", Trail: "Lantern Ridge",
		Staff: "Ines Calder leads, Noor Whitlock assists", Places: "8 of 8 places taken", State: ui.StampOf("posted"),
		Verdict: hikesview.VerdictStamp(""),
		Task:    hikesview.DeskTask{Text: "Write the forecast", When: "without it there is no plan"}}
	draft := hikesview.DeskLine{Day: "Sun 24 May", Clock: "05:30", Title: "Quail Wash with the school",
		URL: "/hikes/15/manage", Trail: "Quail Wash to the saddle",
		State: ui.StampOf("draft"), Verdict: hikesview.VerdictStamp(""),
		Task: hikesview.DeskTask{Text: "Name a leader, then post it"}}
	out := hikesview.DeskLine{Day: "Sat 9 May", Clock: "05:45", Title: "Ridge training", URL: "/hikes/10/manage",
		Trail: "Lantern Ridge", Staff: "Tomas Verde leads, Ines Calder sweeps",
		Places: "5 out", State: ui.StampOf("out"), Action: "Open the roll", ActionURL: "/hikes/10/roll"}
	past := hikesview.DeskLine{Day: "Sun 3 May", Clock: "06:00", Title: "Saddle before breakfast",
		URL: "/hikes/9/manage", Trail: "Quail Wash to the saddle",
		Staff: "Ines Calder leads, Tomas Verde sweeps", Places: "11 walked", State: ui.StampOf("closed")}
	quiet := func(l hikesview.DeskLine) hikesview.DeskLine {
		l.Task = hikesview.DeskTask{}
		return l
	}
	return hikesview.DeskPage{Page: sampleStaffPage("Desk", "Desk"),
		Staff: []ui.NoteText{{Kind: ui.NoteCaution, Title: "Your certificates",
			Points: []string{"The CPR of Ines Calder is valid through 14 May 2026, 5 days from now. That day still " +
				"counts; the next does not."}}}, ToDo: []hikesview.DeskLine{late, saddle, ridge, draft},
		Out:    []hikesview.DeskLine{out},
		Coming: []hikesview.DeskLine{quiet(late), quiet(saddle), quiet(ridge)}, Past: []hikesview.DeskLine{past}}
}

func hikeFormSample(a ui.FormState) hikesview.HikeFormPage {
	onOffer := []ui.Option{{Value: "7", Label: "Quail Wash to the saddle (7.7 km, 240 m)"},
		{Value: "8", Label: "Lantern Ridge (11.2 km, 655 m)"}}
	people := []ui.Option{{Value: "1", Label: "Ines Calder"}, {Value: "2", Label: "Tomas Verde"},
		{Value: "3", Label: "Noor Whitlock"}}
	return hikesview.HikeFormPage{Page: sampleStaffPage("Schedule a hike", "Desk"), URL: "/hikes", BackURL: "/desk",
		Fields: hikes.HikeForm(hikes.HikeFormFor{
			Trails: onOffer, People: people,
			PlacesHint: "Staff do not take places. The house asks for one of staff to eight, and never fewer than two.",
		}).Fields(a)}
}

func wrongHikeSample() ui.FormState {
	return ui.FormState{
		Values: map[string][]string{"trail": {"7"}, "title": {"Saddle before breakfast"}, "date": {"2026-05-10"},
			"meet": {"06:30"}, "start": {"06:00"}, "places": {"many"},
			"pace": {"gentle"}, "leader": {"1"}, "sweep": {"1"}, "assistant": {"", "3", ""},
			"on_call_name": {"Rosa Lind"}, "on_call_phone": {"555 01"}, "deputy_name": {""}, "deputy_phone": {""}},
		Errors: map[string]string{
			"start":         "The start is before the meeting time.",
			"places":        "Give the number of places for participants, 1 to 200.",
			"sweep":         "Ines Calder leads already; somebody else sweeps.",
			"on_call_phone": "Give their number with its area code.",
		}}
}

func peopleSample() accountsview.PeoplePage {
	return accountsview.PeoplePage{Page: sampleStaffPage("People", "People"),
		Fields: accounts.PersonForm().Fields(ui.FormState{}), People: []accountsview.PersonLine{
			{Name: "Ines Calder", Email: "ines.calder@example.org",
				Phone: "555-0110", Roles: "leader, coordinator", State: "active", Second: "yes", URL: "/people/1"},
			{Name: "Tomas Verde", Email: "tomas@example.org", Phone: "555-0111", Roles: "leader", State: "active",
				Second: "no", URL: "/people/2"},
			{Name: "Noor Whitlock", Email: "noor.whitlock.of.the.long.address@example.org",
				Phone: "", Roles: "leader", State: "invited", Second: "no", URL: "/people/3"},
			{Name: "Rosa Lind", Email: "rosa@example.org", Phone: "555-0113",
				Roles: "", State: "not active", Second: "no",
				URL: "/people/4"},
		}}
}

func invitedSample() accountsview.PeoplePage {
	p := peopleSample()
	p.Invitation = ui.Invitation{For: "Noor Whitlock",
		Link: "https://hikes.example.org/invited/8Jk2mTq0vZx4rB7nL5cYwE1sHd9fGuAp", Until: "Sun 17 May, 12:00"}
	return p
}

func wrongPeopleSample() accountsview.PeoplePage {
	p := peopleSample()
	p.Fields = accounts.PersonForm().Fields(ui.FormState{
		Values: map[string][]string{"name": {"Noor Whitlock"}, "email": {"noor at example.org"}, "roles": {"leader"}},
		Errors: map[string]string{"email": "\"noor at example.org\" needs one @ with something on both sides."}})
	return p
}
