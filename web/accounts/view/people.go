package view

import "saltbush/web/ui"

// PeoplePage is the accounts of the organisation.
type PeoplePage struct {
	ui.Page
	People     []PersonLine
	Invitation ui.Invitation // of the person just added; the zero value shows none
	Fields     PersonFields
}

// PersonLine is one account.
type PersonLine struct {
	Name, Email, Phone string
	Roles              string // "leader, coordinator"; "" where there are none
	State              string // "active", "invited" or "not active"
	Second             string // whether there is a second step: "yes", "no"
	URL                string // of the person's own page
}

// AccountStamp is the stamp of an account's state: "active", "invited", "not active".
func AccountStamp(state string) ui.StampText {
	switch state {
	case "active":
		return ui.StampText{Word: state, Look: ui.LookLeaf, Mark: ui.MarkTick}
	case "invited":
		return ui.StampText{Word: state, Look: ui.LookOchre, Mark: ui.MarkGlass}
	case "not active":
		return ui.StampText{Word: state, Look: ui.LookRock, Mark: ui.MarkMinus}
	}
	return ui.StampOf(state)
}

// PersonFields are the questions about a new person.
type PersonFields struct{ Name, Email, Phone, Roles ui.Field }

// NewPersonFields asks about a person.
func NewPersonFields(a ui.FormState) PersonFields {
	return PersonFields{
		Name:  a.Bind(ui.Field{Name: "name", Label: "Name", Autocomplete: "off"}),
		Email: a.Bind(ui.Field{Name: "email", Label: "E-mail", Kind: "email", Autocomplete: "off", Hint: "They sign in with it."}),
		Phone: a.Bind(ui.Field{Name: "phone", Label: "Phone", Kind: "tel", Optional: true, Autocomplete: "off", Hint: "How staff and on-call reach them."}),
		Roles: a.Bind(ui.Field{Name: "roles", Label: "What they may do", Optional: true, Options: []ui.Option{
			{Value: "leader", Label: "Leader", Note: "Adds trails, schedules hikes, manages the hikes they staff."},
			{Value: "coordinator", Label: "Coordinator", Note: "All of that on every hike, and the people."},
			{Value: "trainer", Label: "Trainer", Note: "Sees the records of staff and notes observed hikes. Sees no participants."},
			{Value: "safety officer", Label: "Safety officer", Note: "Reads the board, the watches and the papers of every hike, and changes none of them."},
			{Value: "on-call", Label: "On-call", Note: "Holds the watch from home: the board, and each hike from the evening before it until it is closed."},
		}}),
	}
}

// All lists the questions for the head of the form.
func (f PersonFields) All() []ui.Field { return []ui.Field{f.Name, f.Email, f.Phone, f.Roles} }

func (p PeoplePage) ledger() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Name"}, {Label: "State"}, {Label: "Roles"}, {Label: "Second step"}, {Label: "E-mail"}, {Label: "Phone"}}}
	for _, x := range p.People {
		stamp := AccountStamp(x.State)
		l.Rows = append(l.Rows, []ui.Cell{{Text: x.Name, URL: x.URL}, {Stamp: &stamp}, {Text: ui.OrDash(x.Roles)}, {Text: x.Second}, ui.LinkTo("mailto:", x.Email), ui.LinkTo("tel:", x.Phone)})
	}
	return l
}
