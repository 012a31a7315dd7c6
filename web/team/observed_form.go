package team

import (
	"saltbush/internal/team"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// ObservedForm asks about an observed hike.
func ObservedForm() kit.Questions[team.Observed] {
	return kit.Questions[team.Observed]{
		kit.Date(ui.Field{Name: "day", Label: "Day of the hike", Short: true},
			func(o *team.Observed) *unit.Date { return &o.Day }, "Give a day, such as 2027-03-14."),
		kit.Line(ui.Field{Name: "trail", Label: "Trail"}, func(o *team.Observed) *string { return &o.Trail }),
		kit.Line(ui.Field{Name: "mentor", Label: "Watched by"}, func(o *team.Observed) *string { return &o.Mentor }),
		kit.Several(ui.Field{Name: "skills", Label: "What was looked at", Options: kit.OptionsOf(team.Skills())},
			func(o *team.Observed) *[]string { return &o.Skills }),
		kit.Word(ui.Field{
			Name: "result", Label: "What came of it", Kind: ui.KindSelect,
			Options: kit.OptionsOf(team.ObservedResults()),
		}, func(o *team.Observed) *string { return &o.Result }),
		kit.Paragraph(ui.Field{
			Name: "note", Label: "Note", Optional: true,
			Hint: "What was seen, about this person only: no participants.",
		}, func(o *team.Observed) *string { return &o.Note }),
	}
}
