package account_test

import (
	"errors"
	"strings"
	"testing"

	"saltbush/internal/account"
)

func TestCleanEmail(t *testing.T) {
	tests := []struct{ name, in, want, err string }{
		{"hidden characters go", "wr\u200ben@example.org\u202c", "wren@example.org", ""},
		{"a domain in its own letters", "Wren@B\u00dcCHER.example", "wren@xn--bcher-kva.example", ""},
		{"stored before addresses were checked", "Boss@Intranet", "boss@intranet", ""},
		{"spaces and case go", "  Wren.Abara@Example.ORG ", "wren.abara@example.org", ""},
		{"a plus stays", "wren+hikes@example.org", "wren+hikes@example.org", ""},
		{"empty", " ", "", "write an address"},
		{"no at", "wren.example.org", "", "needs one @"},
		{"two ats", "wren@abara@example.org", "", "needs one @"},
		{"nothing before", "@example.org", "", "needs one @"},
		{"nothing after", "wren@", "", "needs one @"},
		{"a line break", "wren@example.org\r\nbcc: all@example.org", "", "needs one @"},
		{"a line break alone", "wren\n@example.org", "", "control character"},
		{"two addresses", "wren,abara@example.org", "", "comma"},
		{"a name with it", "wren<wren@example.org>", "", "bracket"},
		{"too long", strings.Repeat("w", 243) + "@example.org", "", "longer than 254"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := account.CleanEmail(tt.in)
			if got != tt.want || (err == nil) != (tt.err == "") ||
				(err != nil && !strings.Contains(err.Error(), tt.err)) {
				t.Errorf("CleanEmail(%q) = %q, %v, want %q, %q", tt.in, got, err, tt.want, tt.err)
			}
		})
	}
}

func good() account.Account {
	return account.Account{
		Name: "Wren Abara", Email: "wren@example.org", Roles: []account.Role{account.Leader}, Active: true,
		Units: account.US,
	}
}

func TestAccountCheck(t *testing.T) {
	tests := []struct {
		name   string
		change func(*account.Account)
		want   string
	}{
		{"complete", func(*account.Account) {}, ""},
		{"no role", func(a *account.Account) { a.Roles = nil }, ""},
		{"no name", func(a *account.Account) { a.Name = " " }, "name: write"},
		{"long name", func(a *account.Account) { a.Name = strings.Repeat("n", 101) }, "name: longer than 100"},
		{"name with a line break", func(a *account.Account) { a.Name = "Wren\nAbara" }, "name: has a line break"},
		{"e-mail in capitals", func(a *account.Account) { a.Email = "Wren@example.org" }, "kept form"},
		{"invisible name", func(a *account.Account) { a.Name = "\u200b\u3164" }, "name: write"},
		{"e-mail without a dot", func(a *account.Account) { a.Email = "jane@gmail" }, "not the name of a domain"},
		{"role that does not exist", func(a *account.Account) { a.Roles = append(a.Roles, "boss") },
			`"boss" is not a role`},
		{"no units", func(a *account.Account) { a.Units = "" }, "units:"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := good()
			tt.change(&a)
			err := a.Check()
			if (err == nil) != (tt.want == "") || (err != nil && !strings.Contains(err.Error(), tt.want)) {
				t.Errorf("Check = %v, want %q", err, tt.want)
			}
		})
	}
}

func TestKeepsCoordinator(t *testing.T) {
	lead := account.Account{ID: 1, Active: true, Roles: []account.Role{account.Leader}}
	one := account.Account{ID: 2, Active: true, Roles: []account.Role{account.Coordinator, account.Leader}}
	two := account.Account{ID: 3, Active: true, Roles: []account.Role{account.Coordinator}}
	gone := account.Account{ID: 3, Roles: []account.Role{account.Coordinator}}
	demoted := account.Account{ID: 2, Active: true, Roles: []account.Role{account.Leader}}
	tests := []struct {
		name    string
		all     []account.Account
		changed account.Account
		want    error
	}{
		{"the last steps down", []account.Account{lead, one}, demoted, account.ErrLastCoordinator},
		{"an inactive one does not count", []account.Account{lead, one, gone}, demoted, account.ErrLastCoordinator},
		{"the last becomes inactive", []account.Account{lead, two}, gone, account.ErrLastCoordinator},
		{"one of two steps down", []account.Account{lead, one, two}, demoted, nil},
		{"the last stays", []account.Account{lead, one}, one, nil},
		{"there was none", []account.Account{lead}, lead, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := account.KeepsCoordinator(tt.all, tt.changed); !errors.Is(err, tt.want) {
				t.Errorf("KeepsCoordinator = %v, want %v", err, tt.want)
			}
		})
	}
}
