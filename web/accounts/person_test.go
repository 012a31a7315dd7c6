package accounts_test

import (
	"net/http"
	"net/url"
	"slices"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/site/sitetest"
)

func TestRolesOfAnAccountChange(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	v, leads := s.SignIn(t, sitetest.Coordinator), s.SignIn(t, sitetest.Leader)
	coordinator, leader := personPage(t, s, sitetest.Coordinator), personPage(t, s, sitetest.Leader)
	const refused, changed, forbidden = http.StatusUnprocessableEntity, http.StatusSeeOther, http.StatusForbidden
	for _, tt := range []struct {
		name, page string
		roles      []string
		active     bool
		want       int
	}{
		{"the last coordinator stays one", coordinator, []string{"leader"}, true, refused},
		{"and stays able to sign in", coordinator, []string{"coordinator"}, false, refused},
		{"an unknown role is refused", leader, []string{"king"}, true, refused},
		{"a leader becomes a coordinator too", leader, []string{"leader", "coordinator"}, true, changed},
		{"now the first may stop", coordinator, []string{"leader"}, true, changed},
		{"and may change nobody any more", leader, []string{"leader"}, true, forbidden},
	} {
		t.Run(tt.name, func(t *testing.T) {
			form := url.Values{"roles": tt.roles}
			if tt.active {
				form.Set("active", "yes")
			}
			v.In(t).Post(tt.page, form).Want(tt.want)
		})
	}
	leads.Get("/people").Want(http.StatusOK) // an existing sign-in gets the new role
	want := []account.Role{account.Leader, account.Coordinator}
	if got := s.Account(t, sitetest.Leader).Roles; !slices.Equal(got, want) {
		t.Errorf("roles %v, want %v", got, want)
	}
}

func TestAccountThatMayNotSignInIsSignedOut(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	coordinator, other := s.SignIn(t, sitetest.Coordinator), s.SignIn(t, sitetest.OtherLeader)
	inactive := url.Values{"roles": {"leader"}}
	coordinator.Post(personPage(t, s, sitetest.OtherLeader), inactive).Want(http.StatusSeeOther)
	if other.IsSignedIn() {
		t.Error("still signed in")
	}
	form := url.Values{"email": {sitetest.OtherLeader}, "password": {sitetest.Password}}
	s.Visitor(t).Post("/sign-in", form).Want(http.StatusUnprocessableEntity)
}
