package view

import "saltbush/web/ui"

// CardFormPage is the form in which a person writes their own medical card.
type CardFormPage struct {
	ui.Page
	Hike, Person string
	URL, BackURL string
	Fields       CardFields
	Refused      string // why nothing can be written any more, "" where it can
	NoKey        bool   // nothing can be sealed here now
	Lost         bool   // what was written before cannot be read any more
	Remove       ui.ButtonText
}

// CardFields are the questions of a medical card.
type CardFields struct {
	Action, Carried, Allergies, Conditions, Medicines, HeatHistory, Communication, Born, Doctor ui.Field
}

// NewCardFields asks only what helpers would act on.
func NewCardFields(a ui.FormState) CardFields {
	ask := func(name, label, hint string) ui.Field {
		return a.Bind(ui.Field{Name: name, Label: label, Hint: hint, Optional: true})
	}
	return CardFields{
		Action:        ask("action", "What shall we do for you?", "One line, as you would shout it: \"If confused or sweaty: sugar, call.\" No diagnosis is needed. Those who lead this hike read this line on the day."),
		Carried:       ask("carried", "What do you carry, and where?", "Injector, inhaler, sugar: which pocket, and who can help you use it."),
		Allergies:     ask("allergies", "Allergies", "And how bad they get."),
		Conditions:    ask("conditions", "What should helpers know?", "What changes how you take effort, heat or height; implants; a recent illness."),
		Medicines:     ask("medicines", "Medicines", "Name, what for, what they do in heat. Bring what you need for 24 hours."),
		HeatHistory:   ask("heat_history", "Heat illness before", "What happened, and when."),
		Communication: ask("communication", "Hearing, seeing, language", "How to talk with you when it matters."),
		Born:          a.Bind(ui.Field{Name: "born", Label: "Date of birth", Hint: "As 1961-04-30. Responders ask for it.", Optional: true, Short: true, Autocomplete: "bday"}),
		Doctor:        a.Bind(ui.Field{Name: "doctor", Label: "Your doctor", Hint: "Name and number.", Optional: true}),
	}
}

// All lists the questions in the order of the form.
func (f CardFields) All() []ui.Field {
	return []ui.Field{f.Action, f.Carried, f.Allergies, f.Conditions, f.Medicines, f.HeatHistory, f.Communication, f.Born, f.Doctor}
}

// PlaceCard is the medical card on a person's own page.
type PlaceCard struct {
	URL      string // the form; "" where there is nothing to write any more
	Has      bool
	Failed   bool // the openings could not be listed
	Openings ui.LedgerText
}
