package main

import (
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// The rules of the house as a coordinator sets them: one tap toward caution, a reason
// toward risk, and what is wrong beside its field.
func TestHousePage(t *testing.T) {
	p := serveStaffed(t)
	c := p.signIn(t, "coordinator@example.org")
	post := func(path string, form url.Values) (int, string) {
		t.Helper()
		res, err := c.PostForm(p.base+path, form)
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		page, _ := io.ReadAll(res.Body)
		return res.StatusCode, string(page)
	}
	if status, _ := post("/house/rules/ratio/caution", nil); status != http.StatusSeeOther {
		t.Errorf("one tap: status %d", status)
	}
	status, page := post("/house/rules", url.Values{"group": {"people-and-staff"}, "ratio": {"12"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(page, "Write down why") || !strings.Contains(page, `value="12"`) {
		t.Errorf("toward risk without a reason: status %d, what was typed and the fault are not both there", status)
	}
	if status, _ := post("/house/rules", url.Values{"group": {"people-and-staff"}, "ratio": {"12"}, "reason": {"Easy loops."}}); status != http.StatusSeeOther {
		t.Errorf("with a reason: status %d", status)
	}
	if status, _ := post("/house/rules", url.Values{"group": {"heat"}, "cancel_from": {"warm"}}); status != http.StatusUnprocessableEntity {
		t.Errorf("no number: status %d", status)
	}
	res, err := c.Get(p.base + "/house")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	text, _ := io.ReadAll(res.Body)
	page = string(text)
	for _, want := range []string{"8 people", "7 people", "12 people", "Easy loops.", "Juniper Vale", "not law"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page never says %q", want)
		}
	}
}

// The page of the house at both sizes, looked at.
func TestHousePageLooks(t *testing.T) {
	p := serveStaffed(t)
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, p.base, s)
			v.open("/sign-in")
			v.fill("main form", map[string]string{"email": "coordinator@example.org", "password": samplePassword})
			v.press("main form button[type=submit]")
			v.open("/house")
			v.press("[formaction='/house/rules/ratio/caution']")
			v.sees("Saved: 1 change")
			v.fill("section:has(#people-and-staff) form", map[string]string{"ratio": "12"})
			v.press("section:has(#people-and-staff) form button:not([formaction])")
			v.sees("Write down why")
			v.look()
		})
	}
}
