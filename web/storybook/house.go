package storybook

import (
	"time"

	"saltbush/internal/format"
	"saltbush/internal/rules"
	settingsview "saltbush/web/settings/view"
	"saltbush/web/ui"
)

// houseSample is a house that has changed two rules.
func houseSample(a ui.FormState) settingsview.HousePage {
	rules := rules.DefaultRules()
	rules.Ratio, rules.Grace = 6, 15*time.Minute
	p := settingsview.HousePage{Page: sampleStaffPage("Rules of the house", "House"),
		Groups: settingsview.NewRuleGroups(a, rules, format.Metric), Wrong: ui.First(a.Values["group"]),
		Organisation: ui.Field{Name: "organisation", Label: "Name of the organisation",
			Hint: "In whose name messages go out.", Value: "Sill Basin Walkers"},
		Emergency: ui.Field{Name: "emergency", Label: "Local emergency number",
			Hint: "It stands on every page and paper.", Short: true, Value: "911"},
		Zone: ui.Field{Name: "zone", Label: "Time zone of the trailheads",
			Hint: "As region and city, such as America/Phoenix.", Value: "America/Phoenix"},
	}
	p.Changes = []settingsview.HouseChangeLine{
		{At: "Sunday 10 May 2026, 18:40", Rule: "A party waits for the late", From: "10 minutes", To: "15 minutes",
			Way: "less cautious", Reason: "The last miles in are washboard, and cars come late.", By: "Ines Calder"},
		{At: "Friday 1 May 2026, 09:05", Rule: "Participants for each of the staff",
			From: "8 people", To: "6 people", By: "Juniper Vale"},
	}
	return p
}

func wrongHouseSample() ui.FormState {
	return ui.FormState{Values: map[string][]string{"group": {"people-and-staff"}, "ratio": {"twelve"},
		"fewest_staff": {"1"}, "reason": {""}},
		Errors: map[string]string{"ratio": "Give a number.",
			"fewest_staff": "This rule is kept between 2 people and 6 people."}}
}
