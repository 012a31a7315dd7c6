package view

import "saltbush/web/ui"

// PeoplePage is the accounts of the organization.
type PeoplePage struct {
	ui.Page
	People     []PersonLine
	Invitation ui.Invitation // of the person just added; zero for none
	Fields     ui.Fields
}

// PersonLine is one account.
type PersonLine struct {
	Name, Email, Phone string
	Roles              string // "leader, coordinator"; may be empty
	State              string // "active", "invited" or "not active"
	Second             string // "yes" or "no"
	URL                string // of the person's page
}

// AccountStamp returns the stamp of a state: "active", "invited" or "not active".
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
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Name"}, {Label: "State"}, {Label: "Roles"},
		{Label: "Second step"}, {Label: "E-mail"}, {Label: "Phone"}}}
	for _, x := range p.People {
		stamp := AccountStamp(x.State)
		l.Rows = append(l.Rows, []ui.Cell{{Text: x.Name, URL: x.URL}, {Stamp: &stamp}, {Text: ui.OrDash(x.Roles)},
			{Text: x.Second}, ui.LinkTo("mailto:", x.Email), ui.LinkTo("tel:", x.Phone)})
	}
	return l
}
