package watch

import (
	"context"
	"net/http/httptest"
	"testing"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/team"
)

// people is an account store of a few people.
type people struct {
	account.Store
	list []account.Account
}

func (p people) Accounts(context.Context) ([]account.Account, error) { return p.list, nil }

func (p people) AccountByID(_ context.Context, id account.ID) (account.Account, error) {
	for _, a := range p.list {
		if a.ID == id {
			return a, nil
		}
	}
	return account.Account{}, account.ErrNotFound
}

// The account of a link decides what its holder is, whatever their name. Links without one
// were sent to people who have no account, or before links held it.
func TestLinkCapacity(t *testing.T) {
	runs := []account.Role{account.Coordinator}
	s := &Handlers{Accounts: people{list: []account.Account{
		{ID: 1, Name: "Rosa Lind", Email: "rosa@example.org", Active: true},
		{ID: 2, Name: "Tomas Verde", Email: "tomas@example.org", Active: true, Roles: runs},
		{ID: 3, Name: "Tomas Verde", Email: "other@example.org", Active: true},
		{ID: 4, Name: "Ada Moss", Email: "ada@example.org", Roles: runs},
	}}}
	h := hike.Hike{
		OnCall: team.Contact{Name: "Rosa", Email: "rosa@example.org"},
		Deputy: team.Contact{Name: "Ines Holm", Phone: "928-555-0103"},
	}
	tests := []struct {
		name string
		of   account.ID
		as   string
		want privacy.Capacity
	}{
		{"on-call by account", 1, "Rosa Lind", privacy.AsOnCall},
		{"coordinator by account", 2, "Tomas Verde", privacy.AsCoordinator},
		{"the name of a coordinator", 3, "Tomas Verde", privacy.AsOtherLeader},
		{"the name of the deputy", 3, "Ines Holm", privacy.AsOtherLeader},
		{"a coordinator who left", 4, "Ada Moss", privacy.AsOtherLeader},
		{"deputy without an account", 0, "Ines Holm", privacy.AsOnCall},
		{"old link of on-call", 0, "Rosa", privacy.AsOnCall},
		{"old link of a coordinator", 0, "Tomas Verde", privacy.AsCoordinator},
		{"old link of anybody else", 0, "Sam Ortolan", privacy.AsOtherLeader},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v := watchViewer{account: tt.of, name: tt.as}
			got, err := s.linkCapacity(httptest.NewRequest("GET", "/", nil), h, v)
			if err != nil || got != tt.want {
				t.Errorf("capacity %v, %v, want %v", got, err, tt.want)
			}
		})
	}
}
