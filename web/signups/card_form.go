package signups

import (
	"saltbush/internal/card"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// CardForm is a medical card, which a person writes for themselves. It asks only what helpers would
// act on.
func CardForm() kit.Questions[card.Card] {
	ask := func(name, label, hint string, at func(*card.Card) *string) kit.Question[card.Card] {
		return kit.Paragraph(ui.Field{Name: name, Label: label, Hint: hint, Optional: true}, at)
	}
	return kit.Questions[card.Card]{
		ask("action", "What shall we do for you?",
			"One line, as you would shout it: \"If confused or sweaty: sugar, call.\" No diagnosis is needed. "+
				"Those who lead this hike read this line on the day.",
			func(c *card.Card) *string { return &c.Action }),
		ask("carried", "What do you carry, and where?",
			"Injector, inhaler, sugar: which pocket, and who can help you use it.",
			func(c *card.Card) *string { return &c.Carried }),
		ask("allergies", "Allergies", "And how bad they get.",
			func(c *card.Card) *string { return &c.Allergies }),
		ask("conditions", "What should helpers know?",
			"What changes how you take effort, heat or height; implants; a recent illness.",
			func(c *card.Card) *string { return &c.Conditions }),
		ask("medicines", "Medicines",
			"Name, what for, what they do in heat. Bring what you need for 24 hours.",
			func(c *card.Card) *string { return &c.Medicines }),
		ask("heat_history", "Heat illness before", "What happened, and when.",
			func(c *card.Card) *string { return &c.HeatHistory }),
		ask("communication", "Hearing, seeing, language", "How to talk with you when it matters.",
			func(c *card.Card) *string { return &c.Communication }),
		kit.Line(ui.Field{
			Name: "born", Label: "Date of birth", Hint: "As 1961-04-30. Responders ask for it.",
			Optional: true, Short: true, Autocomplete: "bday",
		}, func(c *card.Card) *string { return &c.Born }),
		kit.Line(ui.Field{Name: "doctor", Label: "Your doctor", Hint: "Name and number.", Optional: true},
			func(c *card.Card) *string { return &c.Doctor }),
	}
}
