package view

import "saltbush/web/ui"

// TwoStepPage sets up the second step.
type TwoStepPage struct {
	ui.Page
	Wanted string // why the house requires one; may be empty
	Since  string // the day it was set up; empty if it is off
	Left   string // "8 recovery codes are left."
	// During the setup: the key as a QR code and as text, and the first code.
	Key      string
	Drawing  ui.QRDrawing
	Code     ui.Field
	Password ui.Field // to begin
	ForCodes ui.Field // to make new recovery codes
	ForOff   ui.Field // to turn it off
}

// NewTwoStepPage asks for the password in each form, and for the first code.
func NewTwoStepPage(p ui.Page, a ui.FormState) TwoStepPage {
	t := TwoStepPage{Page: p, Code: codeField(a, "Six digits, new every half minute.")}
	t.Password = passwordAgain(a, "current", "current")
	t.ForCodes = passwordAgain(a, "for_codes", "for-codes")
	t.ForOff = passwordAgain(a, "for_off", "for-off")
	return t
}

// passwordAgain asks for the password. Its fault has the given name.
func passwordAgain(a ui.FormState, fault, id string) ui.Field {
	return ui.Field{Name: "current", ID: id, Label: "Password that you have", Kind: "password",
		Autocomplete: "current-password", Error: a.Errors[fault]}
}

func codeField(a ui.FormState, hint string) ui.Field {
	f := a.Bind(ui.Field{Name: "code", Label: "Code", Hint: hint, Autocomplete: "one-time-code", Short: true})
	f.Value = ""
	return f
}

// RecoveryPage shows recovery codes once.
type RecoveryPage struct {
	ui.Page
	Lede  string
	Codes []string
}

// CodePage asks for the code after the password.
type CodePage struct {
	ui.Page
	Code ui.Field
}

// NewCodePage asks for the code. Wrong is why the last one was refused; may be empty.
func NewCodePage(p ui.Page, wrong string) CodePage {
	a := ui.FormState{}
	if wrong != "" {
		a.Errors = map[string]string{"code": wrong}
	}
	return CodePage{Page: p,
		Code: codeField(a, "From your authenticator program. Without your phone: one of your recovery codes.")}
}
