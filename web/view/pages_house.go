package view

import (
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
)

// houseSample is a house that has set two rules itself.
func houseSample(a Answers) HousePage {
	rules := hike.DefaultRules()
	rules.Ratio, rules.Grace = 6, 15*time.Minute
	p := HousePage{Page: sampleStaffPage("Rules of the house", "House"), Groups: NewRuleGroups(a, rules, format.Metric), Wrong: first(a.Typed["group"]),
		Organisation: Field{Name: "organisation", Label: "Name of the organisation", Hint: "In whose name messages go out.", Value: "Sill Basin Walkers"},
		Emergency:    Field{Name: "emergency", Label: "Local emergency number", Hint: "It stands on every page and paper.", Short: true, Value: "911"},
		Zone:         Field{Name: "zone", Label: "Time zone of the trailheads", Hint: "As region and city, such as America/Phoenix.", Value: "America/Phoenix"},
	}
	p.Changes = []HouseChangeLine{
		{At: "Sunday 10 May 2026, 18:40", Rule: "A party waits for the late", From: "10 minutes", To: "15 minutes", Way: "less cautious", Reason: "The last miles in are washboard, and cars come late.", By: "Ines Calder"},
		{At: "Friday 1 May 2026, 09:05", Rule: "Participants for each of the staff", From: "8 people", To: "6 people", By: "Juniper Vale"},
	}
	return p
}

func wrongHouseSample() Answers {
	return Answers{Typed: map[string][]string{"group": {"people-and-staff"}, "ratio": {"twelve"}, "fewest_staff": {"1"}, "reason": {""}},
		Wrong: map[string]string{"ratio": "Give a number.", "fewest_staff": "This rule is kept between 2 people and 6 people."}}
}
