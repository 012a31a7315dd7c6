package view

import "saltbush/internal/format"

// AccountPage is a person's own account.
type AccountPage struct {
	Page
	Name, Email, Phone string
	Roles              string // "leader, coordinator"; "" where there are none
	Current, Password  Field
	SignIns            []SignInLine // the latest seen first
	Second             string       // how the second step stands, in a sentence
	Passkeys           string       // how many passkeys there are, in a sentence
	Feeds              FeedsText
}

// SignInLine is one browser that is signed in.
type SignInLine struct {
	Device, Network string
	Began, Seen     string
	Here            bool // the browser that shows the page
	End             ButtonText
}

// NewPasswordChange asks for the password that holds and for another. What was typed is
// never sent back.
func NewPasswordChange(a Answers) (current, password Field) {
	current = a.Asked(Field{Name: "current", Label: "Password that you have", Kind: "password", Autocomplete: "current-password"})
	password = a.Asked(Field{Name: "password", Label: "New password", Kind: "password", Hint: "At least 12 signs. Four words you can remember are good.", Autocomplete: "new-password"})
	current.Value, password.Value = "", ""
	return current, password
}

func (p AccountPage) lines() []format.Line {
	return []format.Line{{Label: "Name", Value: p.Name}, {Label: "Mail address", Value: p.Email}, {Label: "Phone", Value: orDash(p.Phone)}, {Label: "Roles", Value: orDash(p.Roles), Note: "A coordinator changes these."}}
}

func (p AccountPage) ledger() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Browser"}, {Label: "Signed in"}, {Label: "Last seen"}, {Label: "From"}, {Label: "End"}}}
	for _, x := range p.SignIns {
		name, end := Cell{Text: x.Device}, Cell{Part: ButtonForm(x.End)}
		if x.Here {
			name.Note, end = "this browser", Cell{Text: "-"}
		}
		l.Rows = append(l.Rows, []Cell{name, {Text: x.Began}, {Text: x.Seen}, {Text: x.Network}, end})
	}
	return l
}
