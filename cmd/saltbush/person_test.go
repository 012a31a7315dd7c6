package main

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"saltbush/internal/account"
	"saltbush/internal/localpg/pgtest"
)

// accountOf loads an account by its address.
func accountOf(t testing.TB, p staffed, email string) account.Account {
	t.Helper()
	a, err := p.db.AccountStore().AccountByEmail(context.Background(), email)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func (p staffed) page(t testing.TB, email string) string {
	t.Helper()
	return fmt.Sprintf("%s/people/%d", p.base, accountOf(t, p, email).ID)
}

func TestRolesOfAnAccountChange(t *testing.T) {
	p := serveStaffed(t)
	c, leads := p.signIn(t, "coordinator@example.org"), p.signIn(t, "leads@example.org")
	coordinator, leader := p.page(t, "coordinator@example.org"), p.page(t, "leads@example.org")
	tests := []struct {
		name, page string
		form       url.Values
		want       int
	}{
		{"the last coordinator stays one", coordinator, url.Values{"roles": {"leader"}, "active": {"yes"}}, http.StatusUnprocessableEntity},
		{"and stays able to sign in", coordinator, url.Values{"roles": {"coordinator"}}, http.StatusUnprocessableEntity},
		{"a role that there is not", leader, url.Values{"roles": {"king"}, "active": {"yes"}}, http.StatusUnprocessableEntity},
		{"a leader becomes a coordinator too", leader, url.Values{"roles": {"leader", "coordinator"}, "active": {"yes"}}, http.StatusSeeOther},
		{"now the first may stop", coordinator, url.Values{"roles": {"leader"}, "active": {"yes"}}, http.StatusSeeOther},
		{"and may change nobody any more", leader, url.Values{"roles": {"leader"}, "active": {"yes"}}, http.StatusForbidden},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got, _, _ := sends(t, c, tt.page, tt.form); got != tt.want {
				t.Errorf("status %d, want %d", got, tt.want)
			}
		})
	}
	mustAnswer(t, leads, p.base+"/people", http.StatusOK) // signed in all the while
	if a := accountOf(t, p, "leads@example.org"); !slices.Equal(a.Roles, []account.Role{account.Leader, account.Coordinator}) {
		t.Errorf("roles %v", a.Roles)
	}
}

func TestWhoMayNotSignInIsSignedOut(t *testing.T) {
	p := serveStaffed(t)
	c, other := p.signIn(t, "coordinator@example.org"), p.signIn(t, "other@example.org")
	if status, _, _ := sends(t, c, p.page(t, "other@example.org"), url.Values{"roles": {"leader"}}); status != http.StatusSeeOther {
		t.Fatalf("status %d", status)
	}
	if p.in(t, other) {
		t.Error("still signed in")
	}
	if status, _, _ := sends(t, client(t), p.base+"/sign-in", url.Values{"email": {"other@example.org"}, "password": {samplePassword}}); status != http.StatusUnprocessableEntity {
		t.Errorf("sign in: status %d", status)
	}
}

const newPassword = "copper kettle on the ledge"

func TestLinkForANewPassword(t *testing.T) {
	p := serveStaffed(t)
	c, lost := p.signIn(t, "coordinator@example.org"), p.signIn(t, "leads@example.org")
	made := func() string {
		status, _, says := sends(t, c, p.page(t, "leads@example.org")+"/link", nil)
		path := regexp.MustCompile(`/new-password/[a-z2-7]{32}`).FindString(says)
		if status != http.StatusCreated || path == "" {
			t.Fatalf("status %d, link %q", status, path)
		}
		return p.base + path
	}
	old, link := made(), made()
	mustAnswer(t, client(t), old, http.StatusNotFound) // the latest is the one that works
	mustAnswer(t, client(t), strings.Replace(link, "new-password", "invited", 1), http.StatusNotFound)
	mustAnswer(t, client(t), link, http.StatusOK)
	if status, _, _ := sends(t, client(t), link, url.Values{"password": {"Ash Moreno 12"}}); status != http.StatusUnprocessableEntity {
		t.Errorf("one's own name: status %d", status)
	}
	fresh := client(t)
	if status, to, _ := sends(t, fresh, link, url.Values{"password": {newPassword}}); status != http.StatusSeeOther || to != "/desk" || !p.in(t, fresh) {
		t.Errorf("status %d to %q", status, to)
	}
	if p.in(t, lost) {
		t.Error("a browser from before stays signed in")
	}
	if status, _, _ := sends(t, client(t), link, url.Values{"password": {newPassword + " two"}}); status != http.StatusGone {
		t.Errorf("used once more: status %d", status)
	}
	mailed(t, p, "account/", "Your password was changed")
}

// mailed waits for a mail to somebody with a key that begins so, and returns it.
func mailed(t testing.TB, p staffed, key, says string) string {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		list, err := p.db.Outbox().Recent(context.Background(), 20)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range list {
			if text := strings.Join(strings.Fields(m.Text), " "); strings.HasPrefix(m.Key, key) && strings.Contains(text, says) {
				return m.Text
			}
		}
	}
	t.Fatalf("no mail %s says %q", key, says)
	return ""
}

func TestLostPassword(t *testing.T) {
	p := serveStaffed(t)
	_, _, unknown := sends(t, client(t), p.base+"/lost-password", url.Values{"email": {"nobody@example.org"}})
	status, _, known := sends(t, client(t), p.base+"/lost-password", url.Values{"email": {"Leads@example.org"}})
	if status != http.StatusOK || known != unknown {
		t.Errorf("a known address is told apart: status %d, same page %v", status, known == unknown)
	}
	path := regexp.MustCompile(`/new-password/[a-z2-7]{32}`).FindString(mailed(t, p, "new-password/", "Somebody asked"))
	mustAnswer(t, client(t), p.base+path, http.StatusOK)
	if list, _ := p.db.Outbox().Recent(context.Background(), 20); len(list) != 1 {
		t.Errorf("%d mails, want one", len(list))
	}
}

// A new password does not go around the second step; a coordinator can take it off.
func TestNewPasswordKeepsTheSecondStep(t *testing.T) {
	p := serveStaffed(t)
	secondStep(t, p, p.signIn(t, "leads@example.org"))
	sends(t, client(t), p.base+"/lost-password", url.Values{"email": {"leads@example.org"}})
	path := regexp.MustCompile(`/new-password/[a-z2-7]{32}`).FindString(mailed(t, p, "new-password/", "Somebody asked"))
	c := client(t)
	if status, to, _ := sends(t, c, p.base+path, url.Values{"password": {newPassword}}); status != http.StatusSeeOther || to != "/sign-in/code" || p.in(t, c) {
		t.Fatalf("status %d to %q, in %v", status, to, p.in(t, c))
	}
	coordinator, off := p.signIn(t, "coordinator@example.org"), p.page(t, "leads@example.org")+"/second-step-off"
	if status, _, _ := sends(t, coordinator, off, url.Values{"current": {"no"}}); status != http.StatusUnprocessableEntity {
		t.Errorf("with a wrong password: status %d", status)
	}
	if status, _, _ := sends(t, coordinator, off, url.Values{"current": {samplePassword}}); status != http.StatusSeeOther {
		t.Errorf("with the coordinator's own: status %d", status)
	}
	mailed(t, p, "account/", "taken off your account by Juniper Vale")
	if status, to, _ := sends(t, c, p.base+"/sign-in", url.Values{"email": {"leads@example.org"}, "password": {newPassword}}); status != http.StatusSeeOther || to != "/desk" {
		t.Errorf("password alone: status %d to %q", status, to)
	}
}

func TestPersonPages(t *testing.T) {
	for _, size := range screens() {
		t.Run(size.name, func(t *testing.T) {
			p := serveStaffed(t)
			secondStep(t, p, p.signIn(t, "leads@example.org"))
			v := browser(t, p.base, size)
			v.do(chromedp.Navigate(v.base + "/sign-in"))
			v.fill("main form", map[string]string{"email": "coordinator@example.org", "password": samplePassword})
			v.press("main form button[type=submit]")
			v.open("/people")
			v.press(`a[href="` + strings.TrimPrefix(p.page(t, "coordinator@example.org"), p.base) + `"]`)
			v.do(chromedp.Click(chromedp.CSS("#roles-coordinator")))
			v.press("main form button[type=submit]")
			v.sees("This is the last coordinator")
			v.open(strings.TrimPrefix(p.page(t, "leads@example.org"), p.base))
			v.press("form[action$=link] button")
			v.sees("It is shown this once")
			link := regexp.MustCompile(`http\S+/new-password/\S+`).FindString(v.text(".Copy"))
			v.press(".Cover-viewer form button")
			v.open(link)
			v.sees("Choose a new password")
			v.open("/sign-in")
			v.open("/lost-password")
			v.fill("main form", map[string]string{"email": "leads@example.org"})
			v.press("main form button")
			v.sees("If the address is known")
			v.open(link)
			v.sees("There is nothing at this address") // the mailed one has taken its place
		})
	}
}

// The states that a visit does not come to fit the screen and axe-core's rules too.
func TestAccessPagesInABrowser(t *testing.T) {
	p := serve(t, "demo", "--data", filepath.Join(pgtest.Folder(t), "demo"))
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, p.base, s)
			for _, name := range []string{"two-step-key", "two-step-on", "code-wrong", "passkeys", "passkeys-not", "person", "person-wrong", "lost-password"} {
				v.openState(name)
			}
		})
	}
}
