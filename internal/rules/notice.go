package rules

import "fmt"

// RefusedFor lists what gets a person refused at the trailhead, beside bringing less water
// than the plan asks for. Common practice of the trade: each can be seen and asked about,
// and holds for everybody.
func RefusedFor() []string {
	return []string{"Sandals or smooth soles", "Feeling ill, or a hangover", "No emergency contact who stays at home"}
}

// NoticeRule is a rule of the house as the notice of a hike tells it.
type NoticeRule struct{ About, Says, Note string }

// NoticeRules lists what the public is told of the rules. Common practice of the trade.
func (r Rules) NoticeRules() []NoticeRule {
	return []NoticeRule{
		{About: fmt.Sprintf("Under %d", r.YoungestAlone), Says: "with the consent of a parent or legal guardian"},
		{About: "Not coming", Says: "give your place back by your private link", Note: "It goes to the next on the list. No blame for doubts about heat."},
		{About: "The leader", Says: "may refuse, change or stop the hike", Note: "Land manager, law and conditions come first."},
	}
}
