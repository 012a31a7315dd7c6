package view

import "strconv"

// PasskeysPage is a person's own passkeys.
type PasskeysPage struct {
	Page
	Keys     []PasskeyLine
	Able     bool   // the site's address is fit for passkeys
	Origin   string // the only address at which they work
	Full     bool   // no more are kept
	Name     Field
	Password Field // to add one
	Which    Field // to remove one
	ForAway  Field
}

// PasskeyLine is one passkey.
type PasskeyLine struct{ ID, Name, Made, Used string }

// NewPasskeysPage asks for a new passkey and for one to remove.
func NewPasskeysPage(p Page, a Answers) PasskeysPage {
	return PasskeysPage{Page: p,
		Name:     Field{Name: "name", Label: "Where it is kept", Hint: "Such as: my phone.", Autocomplete: "off"},
		Password: passwordAgain(a, "current", "current"),
		Which:    a.Asked(Field{Name: "passkey", Label: "Which one"}),
		ForAway:  passwordAgain(a, "for_removal", "for-removal"),
	}
}

// which offers the passkeys to choose from.
func (p PasskeysPage) which() Field {
	f := p.Which
	for _, k := range p.Keys {
		f.Options = append(f.Options, Option{Value: k.ID, Label: k.Name, Selected: k.ID == f.Value})
	}
	return f
}

func (p PasskeysPage) ledger() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Kept"}, {Label: "Added"}, {Label: "Last used"}}}
	for _, k := range p.Keys {
		l.Rows = append(l.Rows, []Cell{{Text: k.Name}, {Text: k.Made}, {Text: k.Used}})
	}
	return l
}

func (p PasskeysPage) count() string {
	return "Your passkeys (" + strconv.Itoa(len(p.Keys)) + ")"
}
