package account_test

import (
	"testing"

	"saltbush/internal/account"
)

func TestFamilyContact(t *testing.T) {
	for _, tt := range []struct {
		name string
		is   account.Family
		ok   bool
		want string
	}{
		{"nobody", account.Family{}, true, ""},
		{"whole", account.Family{Name: "Teo Moreno", Phone: "602 555 0144"}, true, "Teo Moreno, +1 602-555-0144"},
		{"no name", account.Family{Phone: "602 555 0144"}, false, ""},
		{"half a number", account.Family{Name: "Teo Moreno", Phone: "0144"}, false, ""},
		{"no number", account.Family{Name: "Teo Moreno"}, false, ""},
	} {
		err := tt.is.Check("US")
		if (err == nil) != tt.ok {
			t.Errorf("%s: %v, want accepted %v", tt.name, err, tt.ok)
		}
		if tt.ok && tt.is.Words() != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, tt.is.Words(), tt.want)
		}
	}
}
