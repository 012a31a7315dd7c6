package main

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"saltbush/internal/account"
)

// sendForm sends a form and returns the status.
func sendForm(t testing.TB, c *http.Client, address string, form url.Values) int {
	t.Helper()
	res, err := c.PostForm(address, form)
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	return res.StatusCode
}

// in tells whether the browser is signed in.
func (p program) in(t testing.TB, c *http.Client) bool {
	t.Helper()
	status, _, _ := answers(t, c, p.base+"/account")
	return status == http.StatusOK
}

func TestSignInsEndOneByOneAndTogether(t *testing.T) {
	p := serveStaffed(t)
	const who = "leads@example.org"
	phone, desk, lost := p.signIn(t, who), p.signIn(t, who), p.signIn(t, who)
	other := p.signIn(t, "other@example.org")
	says := mustAnswer(t, phone, p.base+"/account", http.StatusOK)
	ends := regexp.MustCompile(`/account/sign-ins/[0-9a-f-]{36}/end`).FindAllString(says, -1)
	if len(ends) != 2 || !strings.Contains(says, "this browser") {
		t.Fatalf("%d others can be ended, want 2", len(ends))
	}
	sendForm(t, other, p.base+ends[0], nil) // another account ends nothing of this one
	if !p.in(t, lost) || !p.in(t, desk) {
		t.Error("another account ended a sign-in")
	}
	sendForm(t, phone, p.base+ends[0], nil)
	if left := countIn(t, p.program, desk, lost); left != 1 {
		t.Errorf("after ending one, %d of two are left", left)
	}
	sendForm(t, phone, p.base+"/account/sign-ins/end-others", nil)
	if left := countIn(t, p.program, desk, lost); left != 0 || !p.in(t, phone) || !p.in(t, other) {
		t.Errorf("after ending the others %d are left; own %v, other account %v", left, p.in(t, phone), p.in(t, other))
	}
}

func countIn(t testing.TB, p program, clients ...*http.Client) int {
	n := 0
	for _, c := range clients {
		if p.in(t, c) {
			n++
		}
	}
	return n
}

func TestPasswordChangeEndsOthers(t *testing.T) {
	p := serveStaffed(t)
	const who, next = "leads@example.org", "copper kettle on the ledge"
	here, there := p.signIn(t, who), p.signIn(t, who)
	tests := []struct {
		name, current, password string
		want                    int
		others                  bool
	}{
		{"a wrong password changes nothing", "not the password", next, http.StatusUnprocessableEntity, true},
		{"a short one changes nothing", samplePassword, "short", http.StatusUnprocessableEntity, true},
		{"the right one ends the others", samplePassword, next, http.StatusSeeOther, false},
		{"the old one is none any more", samplePassword, next + " two", http.StatusUnprocessableEntity, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := sendForm(t, here, p.base+"/account/password", url.Values{"current": {tt.current}, "password": {tt.password}}); got != tt.want {
				t.Errorf("status %d, want %d", got, tt.want)
			}
			if !p.in(t, here) || p.in(t, there) != tt.others {
				t.Errorf("here %v, there %v; want true, %v", p.in(t, here), p.in(t, there), tt.others)
			}
		})
	}
	if got := sendForm(t, client(t), p.base+"/sign-in", url.Values{"email": {who}, "password": {next}}); got != http.StatusSeeOther {
		t.Errorf("sign in with the new password: status %d", got)
	}
}

func TestSignInRunsOut(t *testing.T) {
	p := serveStaffed(t)
	ctx, s := context.Background(), p.db.AccountStore()
	a, err := s.AccountByEmail(ctx, "leads@example.org")
	if err != nil {
		t.Fatal(err)
	}
	noon := time.Date(2026, 5, 10, 12, 0, 0, 0, time.UTC)
	const id = "6b0c0f0e-6d8e-4f5e-9c65-0d6a3b1f2a10"
	if err := s.AddSignIn(ctx, account.SignIn{ID: id, Account: a.ID, Began: noon, Device: "Firefox on Android", Network: "192.0.2.0/24"}); err != nil {
		t.Fatal(err)
	}
	seen := noon.Add(6 * 24 * time.Hour)
	for _, tt := range []struct {
		name string
		at   time.Time
		want bool
	}{
		{"within the week", seen, true},
		{"being seen puts it off", noon.Add(8 * 24 * time.Hour), true},
		{"a week unseen ends it", noon.Add(15 * 24 * time.Hour), false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got, err := s.SignedInAs(ctx, id, tt.at); (err == nil) != tt.want || (err == nil && got.ID != a.ID) {
				t.Errorf("SignedInAs at %v = account %d, %v; want %v", tt.at, got.ID, err, tt.want)
			}
		})
	}
}

func TestSignOutEndsTheSignIn(t *testing.T) {
	p := serveStaffed(t)
	c := p.signIn(t, "leads@example.org")
	sendForm(t, c, p.base+"/sign-out", nil)
	ctx, s := context.Background(), p.db.AccountStore()
	a, err := s.AccountByEmail(ctx, "leads@example.org")
	if err != nil {
		t.Fatal(err)
	}
	if list, err := s.SignIns(ctx, a.ID, time.Now()); err != nil || len(list) != 0 {
		t.Errorf("%d sign-ins are left, %v", len(list), err)
	}
}

func TestAccountPage(t *testing.T) {
	for _, size := range screens() {
		t.Run(size.name, func(t *testing.T) {
			p := serveStaffed(t)
			p.signIn(t, "leads@example.org") // somewhere else
			v := browser(t, p.base, size)
			v.do(chromedp.Navigate(v.base + "/sign-in"))
			v.fill("main form", map[string]string{"email": "leads@example.org", "password": samplePassword})
			v.press("main form button[type=submit]")
			v.open("/account")
			v.sees("this browser")
			v.sees("Chrome on Linux")
			v.fill("form[action$=password]", map[string]string{"current": "no", "password": "no"})
			v.press("form[action$=password] button")
			v.sees("This is not your password")
			v.press("form[action$=end-others] button")
			v.sees("Every other browser is signed out")
		})
	}
}
