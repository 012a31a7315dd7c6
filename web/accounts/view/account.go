package view

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
)

// AccountPage is a person's own account.
type AccountPage struct {
	ui.Page
	Name, Email, Phone string
	Roles              string // "leader, coordinator"; may be empty
	Current, Password  ui.Field
	// FamilyName and FamilyPhone are whom on-call phones for the person.
	FamilyName, FamilyPhone ui.Field
	SignIns                 []SignInLine // last seen first
	Second                  string       // a sentence about the second step
	Passkeys                string       // a sentence about the passkeys
	Feeds                   FeedsText
}

// SignInLine is one browser that is signed in.
type SignInLine struct {
	Device, Network string
	Began, Seen     string
	Here            bool // the browser that shows the page
	End             ui.ButtonText
}

// NewPasswordChange asks for the current password and for a new one. It never sends typed
// passwords back.
func NewPasswordChange(a ui.FormState) (current, password ui.Field) {
	current = a.Bind(ui.Field{Name: "current", Label: "Password that you have", Kind: "password",
		Autocomplete: "current-password"})
	password = a.Bind(ui.Field{Name: "password", Label: "New password", Kind: "password",
		Hint: "At least 12 signs. Four words you can remember are good.", Autocomplete: "new-password"})
	current.Value, password.Value = "", ""
	return current, password
}

// NewFamily asks whom on-call phones for the person.
func NewFamily(a ui.FormState) (name, phone ui.Field) {
	name = a.Bind(ui.Field{Name: "family_name", Label: "Name", Optional: true,
		Hint: "Somebody at home who is not on your hikes."})
	phone = a.Bind(ui.Field{Name: "family_phone", Label: "Their phone number", Kind: "tel", Optional: true})
	return name, phone
}

func (p AccountPage) lines() []format.Line {
	return []format.Line{{Label: "Name", Value: p.Name}, {Label: "Mail address", Value: p.Email},
		{Label: "Phone", Value: ui.OrDash(p.Phone)},
		{Label: "Roles", Value: ui.OrDash(p.Roles), Note: "A coordinator changes these."}}
}

func (p AccountPage) ledger() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Browser"}, {Label: "Signed in"}, {Label: "Last seen"},
		{Label: "From"}, {Label: "End"}}}
	for _, x := range p.SignIns {
		name, end := ui.Cell{Text: x.Device}, ui.Cell{Part: ui.ButtonForm(x.End)}
		if x.Here {
			name.Note, end = "this browser", ui.Cell{Text: "-"}
		}
		l.Rows = append(l.Rows, []ui.Cell{name, {Text: x.Began}, {Text: x.Seen}, {Text: x.Network}, end})
	}
	return l
}
