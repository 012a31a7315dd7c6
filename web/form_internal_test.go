package web

import (
	"net/url"
	"testing"

	"saltbush/internal/account"
)

func TestFormCleansWhatIsTyped(t *testing.T) {
	typed := " one\u202e \u00a0line\x00\r\n and\u200b another\n"
	f := formOf(url.Values{"field": {typed}, "unseen": {"\u200b\u3164\r\n"}})
	for name, got := range map[string][2]string{
		"one line":                    {f.text("field"), "one line and another"},
		"several lines":               {f.paragraph("field"), "one  line\n and another"},
		"nothing to see in a line":    {f.text("unseen"), ""},
		"nothing to see in lines":     {f.paragraph("unseen"), ""},
		"a field that was not filled": {f.text("none"), ""},
	} {
		if got[0] != got[1] {
			t.Errorf("%s: %+q, want %+q", name, got[0], got[1])
		}
	}
}

// An address that no mail can reach is refused where it comes in, but still finds the
// account that has had it since before.
func TestFormRefusesAddressesThatMailCannotReach(t *testing.T) {
	for typed, want := range map[string]string{
		"jane@gmail": "jane@gmail", " Boss@Intranet": "boss@intranet", "Jane <jane@example.org>": "",
	} {
		f := formOf(url.Values{"email": {typed}})
		a := account.Account{Name: " Jane\u200b  Doe ", Active: true, Units: account.Metric}
		f.account(&a)
		if f.faults["email"] == "" || len(f.faults) != 1 || a.Email != want || a.Name != "Jane Doe" {
			t.Errorf("%q: faults %v, account %q at %q", typed, f.faults, a.Name, a.Email)
		}
	}
	f := formOf(url.Values{"email": {"Jane@Example.ORG\u200b"}})
	a := account.Account{Name: "Jane Doe", Active: true, Units: account.Metric}
	if f.account(&a); len(f.faults) > 0 || a.Email != "jane@example.org" {
		t.Errorf("faults %v, address %q", f.faults, a.Email)
	}
}
