package view

import "saltbush/internal/format"

// CardFormPage is the form in which a person writes their own medical card.
type CardFormPage struct {
	Page
	Hike, Person string
	URL, BackURL string
	Fields       CardFields
	Refused      string // why nothing can be written any more, "" where it can
	NoKey        bool   // nothing can be sealed here now
	Lost         bool   // what was written before cannot be read any more
	Remove       ButtonText
}

// CardFields are the questions of a medical card.
type CardFields struct {
	Action, Carried, Allergies, Conditions, Medicines, HeatHistory, Communication, Born, Doctor Field
}

// NewCardFields asks only what helpers would act on.
func NewCardFields(a Answers) CardFields {
	ask := func(name, label, hint string) Field {
		return a.Asked(Field{Name: name, Label: label, Hint: hint, Optional: true})
	}
	return CardFields{
		Action:        ask("action", "What shall we do for you?", "One line, as you would shout it: \"If confused or sweaty: sugar, call.\" No diagnosis is needed. Those who lead this hike read this line on the day."),
		Carried:       ask("carried", "What do you carry, and where?", "Injector, inhaler, sugar: which pocket, and who can help you use it."),
		Allergies:     ask("allergies", "Allergies", "And how bad they get."),
		Conditions:    ask("conditions", "What should helpers know?", "What changes how you take effort, heat or height; implants; a recent illness."),
		Medicines:     ask("medicines", "Medicines", "Name, what for, what they do in heat. Bring what you need for 24 hours."),
		HeatHistory:   ask("heat_history", "Heat illness before", "What happened, and when."),
		Communication: ask("communication", "Hearing, seeing, language", "How to talk with you when it matters."),
		Born:          a.Asked(Field{Name: "born", Label: "Date of birth", Hint: "As 1961-04-30. Responders ask for it.", Optional: true, Short: true, Autocomplete: "bday"}),
		Doctor:        a.Asked(Field{Name: "doctor", Label: "Your doctor", Hint: "Name and number.", Optional: true}),
	}
}

// All lists the questions in the order of the form.
func (f CardFields) All() []Field {
	return []Field{f.Action, f.Carried, f.Allergies, f.Conditions, f.Medicines, f.HeatHistory, f.Communication, f.Born, f.Doctor}
}

// CardAskPage asks for the reason before a card is opened.
type CardAskPage struct {
	Page
	Person, Hike string
	As           string // "leader on the day"
	Action       string // the action line, which may be all that is needed
	URL, BackURL string
	Reason       Field
}

// NewOpenReason asks why a card is opened.
func NewOpenReason(a Answers) Field {
	return a.Asked(Field{Name: "reason", Label: "Why do you open it?", Hint: "The person reads this, with your name and the time."})
}

// CardOpenPage is an opened card.
type CardOpenPage struct {
	Page
	Person, Hike string
	Action       string
	Lines        []format.Line
	Calls        []format.Line
	Opened       string // who opened it, when and why
	Unread       bool   // it is there and cannot be read
	BackURL      string
}

// CardsPage is the log of openings.
type CardsPage struct {
	Page
	NoKey     bool
	Safety    bool       // the viewer is the safety officer, who reads reasons
	Openings  LedgerText // newest first
	Incidents LedgerText // hikes on which something happened, with their cards
}

// PlaceCard is the medical card on a person's own page.
type PlaceCard struct {
	URL      string // the form; "" where there is nothing to write any more
	Has      bool
	Failed   bool // the openings could not be listed
	Openings LedgerText
}

// KeyMissing is what staff reads while the site is without its key.
func KeyMissing() NoteText {
	return NoteText{Kind: NoteGrave, Title: "The key of the medical cards is missing", Text: "No card can be read and none can be written until the site has its key again. Leaders must ask people what their action line would have told. Whoever runs the server finds what to do in its log."}
}
