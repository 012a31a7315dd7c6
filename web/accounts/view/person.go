package view

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
)

// PersonPage is one account as a coordinator sees it.
type PersonPage struct {
	ui.Page
	Person   PersonLine
	URL      string
	Invited  bool // no password yet
	Active   bool
	Code     bool          // the second step is on
	Passkeys int           // number of passkeys
	Link     ui.Invitation // just created; zero for none
	Roles    ui.Field
	May      ui.Field // whether they may sign in
	Password ui.Field // the coordinator's own, to remove the second step
}

// NewPersonPage asks what a person may do.
func NewPersonPage(p ui.Page, person PersonLine, roles ui.Field, a ui.FormState) PersonPage {
	_, may := a.Values["active"]
	return PersonPage{Page: p, Person: person, Roles: roles,
		May: ui.Field{Name: "active",
			Label: "May sign in. Without this tick they are signed out everywhere at once; what they did stays on " +
				"record.", Checked: may, Optional: true},
		Password: ui.Field{Name: "current", Label: "Your own password", Kind: "password",
			Autocomplete: "current-password", Error: a.Errors["current"]},
	}
}

func (p PersonPage) lines() []format.Line {
	return []format.Line{{Label: "Mail address", Value: p.Person.Email},
		{Label: "Phone", Value: ui.OrDash(p.Person.Phone)}, {Label: "Second step", Value: p.second()}}
}

func (p PersonPage) hasSecond() bool { return p.Code || p.Passkeys > 0 }

func (p PersonPage) second() string {
	keys := format.Count(p.Passkeys, "passkey", "passkeys")
	switch {
	case p.Code && p.Passkeys > 0:
		return "a code, and " + keys
	case p.Code:
		return "a code"
	case p.Passkeys > 0:
		return keys
	}
	return "none"
}

func (p PersonPage) linkLabel() string {
	if p.Invited {
		return "Make a new invitation"
	}
	return "Make a link for a new password"
}

func (p PersonPage) stamp() ui.StampText { return AccountStamp(p.Person.State) }
