package view

import "saltbush/web/ui"

// PeoplePage is the accounts of the organisation.
type PeoplePage struct {
	ui.Page
	People     []PersonLine
	Invitation ui.Invitation // of the person just added; the zero value shows none
	Fields     ui.Fields
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

func (p PeoplePage) ledger() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Name"}, {Label: "State"}, {Label: "Roles"}, {Label: "Second step"}, {Label: "E-mail"}, {Label: "Phone"}}}
	for _, x := range p.People {
		stamp := AccountStamp(x.State)
		l.Rows = append(l.Rows, []ui.Cell{{Text: x.Name, URL: x.URL}, {Stamp: &stamp}, {Text: ui.OrDash(x.Roles)}, {Text: x.Second}, ui.LinkTo("mailto:", x.Email), ui.LinkTo("tel:", x.Phone)})
	}
	return l
}
