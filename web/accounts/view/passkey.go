package view

import (
	"strconv"

	"saltbush/web/ui"
)

// PasskeysPage is a person's own passkeys.
type PasskeysPage struct {
	ui.Page
	Keys     []PasskeyLine
	Able     bool   // the address of the site allows passkeys
	Origin   string // the only origin at which they work
	Full     bool   // there are as many as allowed
	Name     ui.Field
	Password ui.Field // to add one
	Which    ui.Field // to remove one
	ForAway  ui.Field
}

// PasskeyLine is one passkey.
type PasskeyLine struct{ ID, Name, Made, Used string }

// NewPasskeysPage asks for a new passkey and for one to remove.
func NewPasskeysPage(p ui.Page, a ui.FormState) PasskeysPage {
	return PasskeysPage{Page: p,
		Name:     ui.Field{Name: "name", Label: "Where it is kept", Hint: "Such as: my phone.", Autocomplete: "off"},
		Password: passwordAgain(a, "current", "current"),
		Which:    a.Bind(ui.Field{Name: "passkey", Label: "Which one"}),
		ForAway:  passwordAgain(a, "for_removal", "for-removal"),
	}
}

// which asks which passkey to remove.
func (p PasskeysPage) which() ui.Field {
	f := p.Which
	for _, k := range p.Keys {
		f.Options = append(f.Options, ui.Option{Value: k.ID, Label: k.Name, Selected: k.ID == f.Value})
	}
	return f
}

func (p PasskeysPage) ledger() ui.LedgerText {
	l := ui.LedgerText{Cards: true, Columns: []ui.Column{{Label: "Kept"}, {Label: "Added"}, {Label: "Last used"}}}
	for _, k := range p.Keys {
		l.Rows = append(l.Rows, []ui.Cell{{Text: k.Name}, {Text: k.Made}, {Text: k.Used}})
	}
	return l
}

func (p PasskeysPage) count() string {
	return "Your passkeys (" + strconv.Itoa(len(p.Keys)) + ")"
}
