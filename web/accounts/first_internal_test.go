package accounts

import (
	"net/url"
	"testing"

	"saltbush/internal/account"
	"saltbush/web/kit"
)

// An address that mail cannot reach is refused, but still finds a stored account.
func TestUnreachableAddressesAreRefused(t *testing.T) {
	for typed, want := range map[string]string{
		"jane@gmail": "jane@gmail", " Boss@Intranet": "boss@intranet", "Jane <jane@example.org>": "",
	} {
		f := kit.FormOf(url.Values{"email": {typed}})
		a := account.Account{Name: " Jane\u200b  Doe ", Email: f.Text("email"), Active: true, Units: account.Metric}
		checkAccount(f, &a)
		if f.Faults["email"] == "" || len(f.Faults) != 1 || a.Email != want || a.Name != "Jane Doe" {
			t.Errorf("%q: faults %v, account %q at %q", typed, f.Faults, a.Name, a.Email)
		}
	}
	f := kit.FormOf(url.Values{"email": {"Jane@Example.ORG\u200b"}})
	a := account.Account{Name: "Jane Doe", Email: f.Text("email"), Active: true, Units: account.Metric}
	if checkAccount(f, &a); len(f.Faults) > 0 || a.Email != "jane@example.org" {
		t.Errorf("faults %v, address %q", f.Faults, a.Email)
	}
}
