package storybook

import (
	"strconv"
	"time"

	"saltbush/web/hikes"

	"saltbush/internal/caution"
	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
	"saltbush/web/chart"
	hikesview "saltbush/web/hikes/view"
	"saltbush/web/ui"
	watchview "saltbush/web/watch/view"
)

// hikeStates lists the states of the page on which staff manage a hike.
func hikeStates() []StatePage {
	return []StatePage{
		{"hike", "Hike, decision open", hikesview.Hike(hikeSample())},
		{"hike-draft", "Hike, draft without a forecast", hikesview.Hike(draftHikeSample())},
		{"hike-decided", "Hike, decided to go all the same", hikesview.Hike(decidedHikeSample())},
		{"hike-told", "Hike, decided, two have not read it", hikesview.Hike(withNews(decidedHikeSample()))},
		{"told", "What was decided, for one person", hikesview.Announcement(announcementSample(false))},
		{"told-consent", "A harder trail, for one person", hikesview.Announcement(announcementSample(true))},
		{"told-talk", "A harder walk, with a talk first", hikesview.Announcement(talkAnnouncement())},
		{"land", "For the land manager, when they are back", watchview.Land(landSample())},
		{"land-bare", "For the land manager, nobody named", watchview.Land(bareLand())},
		{"hike-called-off", "Hike, called off", hikesview.Hike(calledOffHikeSample())},
		{"hike-not-closed", "Hike, closing refused", hikesview.Hike(unclosedHikeSample())},
	}
}

func hikeSample() hikesview.HikePage {
	return hikesview.HikePage{Page: sampleStaffPage("Saddle before breakfast",
		"Desk"), URL: "/hikes/12", Name: "Saddle before breakfast", State: ui.StampOf("posted"),
		When: "Sunday 10 May 2026, meet 06:00, walk from 06:30", Trail: "Quail Wash to the saddle",
		TrailURL: "/trails/7", NoticeURL: "/hikes/12",
		EditURL: "/hikes/12/edit", RollURL: "/hikes/12/roll",
		Next: ui.NoteText{Kind: ui.NoteCaution, Title: "The go decision is open",
			Text: "By Sat 9 May, 12:30: in 3 h 10. The plan says change."},
		Plan: planSample(), Forecast: hikes.ForecastForm(format.Metric).Fields(forecastSample()), ForecastOpen: true,
		Staff: []hikesview.HikeStaff{{Role: "leader", Name: "Ines Calder", Phone: "555-0110", Answer: "accepted"},
			{Role: "sweep", Name: "Tomas Verde", Phone: "555-0111", Answer: "asked"}}, OnCallAnswer: "asked",
		StaffingURL:   "/hikes/12/staffing",
		StaffWarnings: []string{"Provisional: there is no second qualified person if the leader falls ill."},
		StaffNote:     "2 of staff for 14 places; the house asks for at least 2.",
		OnCall:        hikesview.HikeContact{Name: "Rosa Lind", Phone: "555-0113"},
		Decision: hikesview.DecisionText{By: "Sat 9 May, 12:30", Until: "in 3 h 10", Open: true,
			GoReason:     hikesview.NewGoReason(ui.FormState{}, true),
			ReasonNeeded: "The plan says change. To go all the same, write down why; it is kept.", CanCallOff: true,
			CallOffReason: hikesview.NewCallOffReason(ui.FormState{})},
		SignUps: signUpsSample(), Places: "4 of 14 places taken, 1 waiting",
	}
}

func draftHikeSample() hikesview.HikePage {
	p := hikeSample()
	p.State, p.Plan, p.SignUps, p.Next, p.Staff = ui.StampOf("draft"), nil, nil, ui.NoteText{}, nil
	p.NoPlan = "No forecast has been typed for this hike. Nothing is known about its heat, water or times, and that " +
		"is not good news."
	p.Forecast = hikes.ForecastForm(format.US).Fields(wrongForecastSample())
	p.Places, p.OnCall, p.StaffNote = "14 places", hikesview.HikeContact{},
		"Nobody of staff for 14 places; the house asks for at least 2."
	p.Post = hikesview.PostText{Refused: "Name a leader before posting the hike."}
	p.OnCallReason = hikesview.NewOnCallReason(ui.FormState{})
	p.Decision = hikesview.DecisionText{CanCallOff: true, CallOffReason: hikesview.NewCallOffReason(ui.FormState{})}
	return p
}

func decidedHikeSample() hikesview.HikePage {
	p := hikeSample()
	p.Next = ui.NoteText{}
	p.Plan.Stale = "The start was moved from 07:00 to 06:30 after it was computed. Compute it anew."
	p.Plan.Changes = []string{"High of the day 34 \u00b0C, was 32 \u00b0C.", "Water 4.5 L each, was 4.0 L.",
		"Verdict change, was go."}
	p.Decision = hikesview.DecisionText{By: "Sat 9 May, 12:30",
		Made: "It goes. Decided Sat 9 May, 11:58 by Ines Calder.", CanCallOff: true,
		CallOffReason: hikesview.NewCallOffReason(ui.FormState{}),
		MadeReason: "All twelve walked the ridge last week in the same heat; we turn at the notch if the shade is " +
			"taken."}
	return p
}

func calledOffHikeSample() hikesview.HikePage {
	p := hikeSample()
	p.State, p.Next, p.ForecastOpen, p.EditURL = ui.StampOf("called off"), ui.NoteText{}, false, ""
	p.Plan.Verdict = hikesview.VerdictStamp("cancel")
	p.Decision = hikesview.DecisionText{CalledOff: "The forecast rose to 39 \u00b0C. Nobody should be on the saddle " +
		"in that."}
	for i := range p.SignUps {
		p.SignUps[i].TurnAwayURL = ""
	}
	return p
}

func unclosedHikeSample() hikesview.HikePage {
	p := calledOffHikeSample()
	p.State, p.Decision = ui.StampOf("back"),
		hikesview.DecisionText{Made: "It goes. Decided Sat 9 May, 11:58 by Ines Calder."}
	p.Plan.Verdict, p.Plan.Reasons = hikesview.VerdictStamp("go"), nil
	p.Close = hikesview.CloseText{Can: true,
		Missing: []string{"Amaya Reyes: left early at Notch Junction, not yet at the cars",
			"Jonah Pike: no departure and no return"}}
	return p
}

func planSample() *hikesview.HikePlan {
	zone, at := sampleZone(), sampleClock
	return &hikesview.HikePlan{
		Verdict: hikesview.VerdictStamp("change"),
		Reasons: []string{
			"One party in ten is still out at 11:21, after the heat limit at 10:51: start earlier or shorten.",
			"The party meets 34.8 C (95 F) at 11:21: the house ladder allows only a short route, acclimatised people " +
				"and extra staff.",
			"Wet-bulb globe temperature reaches 28.1 C (83 F) at 11:21, above the alert limit of 27.5 C (82 F) for " +
				"people not used to heat: more rest, shade and water.",
		},
		Time: ui.NewDurationRange("On the trail", 225*time.Minute, 291*time.Minute),
		Return: ui.NewClockRange("Back at the cars", at(6, 30), at(10, 15), at(11, 21), at(10, 51), "off by 10:51",
			zone),
		Turn:  format.FactLine("Turn around by", format.FactTurn, hotClocks().Turn, zone).With(hotClocks().TurnBecause),
		Start: "06:30", Expected: "10:15", Watch: "11:21", Call: "12:21", FirstLight: "05:04", Sunrise: "05:31",
		Sunset: "19:20", LastLight: "19:47",
		WaterEach: "4.5 L", WaterGroup: "3.0 L", WaterBefore: "0.5 L", Rate: "0.92 L/h",
		FoodRate: "200 to 300 kcal an hour", FoodEach: "970 kcal", FoodBefore: "600 kcal",
		Instead: []string{"Start by 05:20, 1 h 10 earlier, and the whole route passes.",
			"Turn back at Notch Junction, 2.4 km (1.5 mi): there and back takes 2 h 20, nine in ten 3 h 01, and " +
				"passes from this start."},
		Window: startsSample(),
		Points: []hikesview.PointTimes{{Name: "Tank fork", Along: "1.2 km", Expected: "07:02", Late: "07:15",
			Turn: "10:02", Because: "heat: the open trail passes its limit at 10:51, less 49 min for the way back"},
			{Name: "Saddle", Along: "3.9 km", Expected: "08:28", Late: "09:04", Turn: "08:50",
				Because: "heat: the open trail passes its limit at 10:51, less 2 h 01 for the way back"}},
		Worst: []format.Line{{Label: "From and to", Value: "10:21 to 11:21"},
			{Label: "Mean WBGT", Value: "27.9 \u00b0C", Note: "Over the limit for the work of that hour."},
			{Label: "Limit", Value: "27.5 \u00b0C"}, {Label: "Work of the body", Value: "292 W"}},
		Short: []format.Line{{Label: "Passes", Value: "yes, from the planned start"},
			{Label: "Turn back at", Value: "Notch Junction", Note: "2.4 km from the start"},
			{Label: "Distance", Value: "4.8 km", Note: "There and back."},
			{Label: "On the trail", Value: "2 h 20 to 3 h 01", Note: "Likely to late."},
			{Label: "Water each", Value: "2.5 L", Note: "Drunk at 0.80 L/h."}},
		Pace: []format.Line{{Label: "Beat", Value: "96 steps a minute"},
			{Label: "Stride on the level", Value: hikesview.Stride(0.66)},
			{Label: "Stride going up", Value: hikesview.Stride(0.51)},
			{Label: "Stride going down", Value: hikesview.Stride(0.6)}},
		Others: []hikesview.OpinionText{{Name: "Alpine club", Moving: "2 h 34", Difference: "8 % shorter"},
			{Name: "Tobler", Moving: "1 h 52", Difference: "33 % shorter", Differs: true}},
		Heat: heatTableSample(), Day: chart.DrawnDay(chart.NewDayDrawing(hotDay(), hotClocks(), zone, format.Metric)),
		Cautions: caution.All(), Model: "3", Made: "Sat 9 May, 09:02 by Ines Calder",
		From: "low 19 \u00b0C, high 36 \u00b0C, dew point 4 \u00b0C, wind 12 km/h, cloud 10 %",
	}
}

func startsSample() hikesview.StartsText {
	w := plan.StartWindow{Earliest: plan.Instant{Time: sampleClock(5, 5)},
		Latest: plan.Instant{Time: sampleClock(5, 20)}, Best: plan.Instant{Time: sampleClock(5, 5)}}
	for at, over := sampleClock(5, 5), -0.4; at.Before(sampleClock(15, 0)); at, over = at.Add(5*time.Minute),
		over+0.06 {
		s := plan.Start{At: plan.Instant{Time: at}, Decision: plan.Go, Over: unit.Temperature(over)}
		switch {
		case over > 4:
			s.Decision, s.Limit = plan.Cancel, "house ladder"
		case over > -0.19:
			s.Decision, s.Limit = plan.Change, "off-by time"
		}
		w.Starts = append(w.Starts, s)
	}
	return hikesview.StartsText{
		Lines: []format.Line{{Label: "Best start", Value: "05:05",
			Note: "Plan says go; 0.4 \u00b0C below the nearest heat limit."},
			{Label: "Earliest that passes", Value: "05:05"}, {Label: "Latest that passes", Value: "05:20"}},
		Limits: []string{"Not before 05:04: that is first usable light.",
			"Not after 05:20: for a start at 05:25, one party in ten is still out after the heat limit at 10:51: " +
				"start earlier or shorten."},
		Drawing: chart.DrawnStarts(chart.NewStartsDrawing(w, sampleClock(6, 30), sampleZone(), format.Metric)),
	}
}

func heatTableSample() hikesview.HeatTableText {
	h := hikesview.HeatTableText{Temperature: "\u00b0C",
		Peak: "a WBGT of 28.1 \u00b0C and air of 31 \u00b0C, both at 11:00", Limit: "27.5 \u00b0C", OffBy: "10:51"}
	humidity := []int{37, 38, 33, 27, 23, 19, 17, 15, 14, 14, 14, 15, 16, 18, 21, 24}
	sun := []int{0, 88, 290, 500, 690, 840, 940, 980, 960, 880, 750, 570, 360, 150, 9, 0}
	for i, hour := range hotDay().Heat.Hours {
		air, wbgt := hour.Air.Celsius(), hour.WBGT.Celsius()
		h.Rows = append(h.Rows, hikesview.HeatRow{
			At: format.Clock(hour.At.Time, sampleZone()), Air: tenths(air), Humidity: strconv.Itoa(humidity[i]),
			Sun:  strconv.Itoa(sun[i]),
			WBGT: tenths(wbgt), HeatIndex: tenths(air - 1.3), Walk: i >= 1 && i <= 6, Over: wbgt > 27.5,
		})
	}
	return h
}

func tenths(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

func forecastSample() ui.FormState {
	return ui.FormState{Values: map[string][]string{"temperature_unit": {"C"}, "low": {"19"}, "high": {"36"},
		"dew_point": {"4"}, "wind": {"12"}, "wind_unit": {"km/h"}, "cloud": {"10"}}}
}

func wrongForecastSample() ui.FormState {
	return ui.FormState{
		Values: map[string][]string{"temperature_unit": {"F"}, "low": {"97"}, "high": {"66"}, "wind": {"light"},
			"wind_unit": {"mph"}, "cloud": {"10"}},
		Errors: map[string]string{
			"low":       "97 F is above the high of 66 F.",
			"dew_point": "Write the dew point or the humidity at the high: without one the heat cannot be computed.",
			"wind":      "\"light\" is not a speed: write a number such as 8.",
		}}
}

func signUpsSample() []hikesview.HikeSignUp {
	people := []hikesview.HikeSignUp{
		{Name: "Amaya Reyes", State: ui.StampOf("confirmed"),
			LongestWalk: "12 km on the ridge in April, five hours, tired but well",
			HotDays:     "6 of the last 14 days active in the heat", Water: "5.0 L",
			Mobile: "555-0120", Email: "amaya@example.org",
			Contact: hikesview.HikeContact{Name: "Leo Reyes", Phone: "555-0121"}},
		{Name: "Jonah Pike", State: ui.StampOf("confirmed"), LongestWalk: "6 km around the lake",
			HotDays: "0 of the last 14 days active in the heat", Water: "3.0 L",
			Mobile: "555-0122", Email: "jonah.pike@example.org",
			Contact: hikesview.HikeContact{Name: "Mara Pike", Phone: "555-0123"}},
		{Name: "Sunniva Holt-Amarante", State: ui.StampOf("confirmed"), Minor: true, Guardian: "Berit Holt",
			LongestWalk: "school walk, 9 km", HotDays: "4 of the last 14 days active in the heat", Water: "4.0 L",
			Mobile: "555-0124", Email: "berit@example.org",
			Contact: hikesview.HikeContact{Name: "Ola Amarante", Phone: "555-0125"}},
		{Name: "Ilya Brand", State: ui.StampOf("withdrawn"), LongestWalk: "10 km", Mobile: "555-0126",
			Email: "ilya@example.org", Contact: hikesview.HikeContact{Name: "Vera Brand", Phone: "555-0127"}},
		{Name: "Dalia Moss", State: ui.StampOf("waiting"), LongestWalk: "14 km in the hills, four hours",
			HotDays: "10 of the last 14 days active in the heat", Water: "5.0 L",
			Mobile: "555-0128", Email: "dalia@example.org",
			Contact: hikesview.HikeContact{Name: "Finn Moss", Phone: "555-0129"}},
	}
	for i := range people {
		p := &people[i]
		p.Order = strconv.Itoa(i + 1)
		p.Reason = hikesview.NewTurnAwayReason(ui.FormState{}, p.Order)
		if p.State.Word != "withdrawn" {
			p.TurnAwayURL = "/hikes/12/sign-ups/" + p.Order + "/turn-away"
		}
	}
	return people
}
