package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base32"
	"html"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"saltbush/internal/account"
	"saltbush/internal/rules"
)

// sends is sendForm that also returns where it leads and the page: the status comes first.
func sends(t testing.TB, c *http.Client, address string, form url.Values) (int, string, string) {
	t.Helper()
	res, err := c.PostForm(address, form)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, res.Header.Get("Location"), html.UnescapeString(string(body))
}

// keyOn reads the key off the page of the set-up.
func keyOn(t testing.TB, page string) account.CodeKey {
	t.Helper()
	text := regexp.MustCompile(`(?:[A-Z2-7]{4} ){7}[A-Z2-7]{4}`).FindString(page)
	raw, err := base32.StdEncoding.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil || len(raw) != 20 {
		t.Fatalf("no key on the page: %q, %v", text, err)
	}
	return account.CodeKeyFromBytes(raw)
}

// secondStep sets up a second step without scripts, and returns its key and the codes for
// a lost phone.
func secondStep(t testing.TB, p staffed, c *http.Client) (account.CodeKey, []string) {
	t.Helper()
	page := p.base + "/account/two-step"
	if status, _, _ := sends(t, c, page+"/begin", url.Values{"current": {"not the password"}}); status != http.StatusUnprocessableEntity {
		t.Fatalf("begin with a wrong password: status %d", status)
	}
	if status, _, _ := sends(t, c, page+"/begin", url.Values{"current": {samplePassword}}); status != http.StatusSeeOther {
		t.Fatalf("begin: status %d", status)
	}
	key := keyOn(t, mustAnswer(t, c, page, http.StatusOK))
	if status, _, _ := sends(t, c, page, url.Values{"code": {"12345"}}); status != http.StatusUnprocessableEntity {
		t.Fatalf("a wrong first code: status %d", status)
	}
	status, _, says := sends(t, c, page, url.Values{"code": {key.CodeAt(account.CodeStep(time.Now()))}})
	codes := regexp.MustCompile(`(?:[a-z2-7]{4} ){5}[a-z2-7]{4}`).FindAllString(says, -1)
	if status != http.StatusCreated || len(codes) != account.RecoveryCodes {
		t.Fatalf("set up: status %d, %d recovery codes", status, len(codes))
	}
	return key, codes
}

// half gives the password of an account that has a second step, and no code yet.
func half(t testing.TB, p staffed, email string) *http.Client {
	t.Helper()
	c := client(t)
	status, to, _ := sends(t, c, p.base+"/sign-in", url.Values{"email": {email}, "password": {samplePassword}})
	if status != http.StatusSeeOther || to != "/sign-in/code" {
		t.Fatalf("password: status %d to %q", status, to)
	}
	if p.in(t, c) {
		t.Fatal("signed in before the code")
	}
	return c
}

func TestSecondStep(t *testing.T) {
	p := serveStaffed(t)
	const who = "coordinator@example.org"
	first, elsewhere := p.signIn(t, who), p.signIn(t, who)
	if says := mustAnswer(t, first, p.base+"/desk", http.StatusOK); !strings.Contains(says, "/account/two-step") {
		t.Error("the desk does not ask a coordinator for a second step")
	}
	key, codes := secondStep(t, p, first)
	if p.in(t, elsewhere) || !p.in(t, first) {
		t.Error("other browsers stay signed in, or this one does not")
	}
	if says := mustAnswer(t, first, p.base+"/desk", http.StatusOK); strings.Contains(says, "/account/two-step") {
		t.Error("the desk asks one who has it")
	}
	c := half(t, p, who)
	next := key.CodeAt(account.CodeStep(time.Now()) + 1)
	if status, to, _ := sends(t, c, p.base+"/sign-in/code", url.Values{"code": {next}}); status != http.StatusSeeOther || to != "/desk" || !p.in(t, c) {
		t.Errorf("code: status %d to %q, in %v", status, to, p.in(t, c))
	}
	again := half(t, p, who)
	if status, _, _ := sends(t, again, p.base+"/sign-in/code", url.Values{"code": {next}}); status != http.StatusUnprocessableEntity || p.in(t, again) {
		t.Errorf("the same code once more: status %d", status)
	}
	if status, _, _ := sends(t, again, p.base+"/sign-in/code", url.Values{"code": {codes[0]}}); status != http.StatusSeeOther || !p.in(t, again) {
		t.Errorf("recovery code: status %d", status)
	}
	last := half(t, p, who)
	if status, _, _ := sends(t, last, p.base+"/sign-in/code", url.Values{"code": {codes[0]}}); status != http.StatusUnprocessableEntity || p.in(t, last) {
		t.Errorf("recovery code once more: status %d", status)
	}
}

func TestRecoveryCodesAreStoredHashed(t *testing.T) {
	p := serveStaffed(t)
	_, codes := secondStep(t, p, p.signIn(t, "coordinator@example.org"))
	var stored [][]byte
	if err := p.db.Pool().QueryRow(context.Background(), `SELECT recovery FROM two_steps WHERE key IS NOT NULL`).Scan(&stored); err != nil {
		t.Fatal(err)
	}
	for i, c := range codes {
		if want := sha256.Sum256([]byte(strings.ReplaceAll(c, " ", ""))); !bytes.Equal(stored[i], want[:]) {
			t.Errorf("code %d is stored as %x, want its hash %x", i, stored[i], want)
		}
	}
}

func TestWrongCodesStopAnAccount(t *testing.T) {
	p := serveStaffed(t)
	const who = "coordinator@example.org"
	_, codes := secondStep(t, p, p.signIn(t, who))
	c := half(t, p, who)
	for try := range 5 {
		if status, _, _ := sends(t, c, p.base+"/sign-in/code", url.Values{"code": {"000 00x"}}); status != http.StatusUnprocessableEntity {
			t.Fatalf("wrong code %d: status %d", try+1, status)
		}
	}
	status, _, says := sends(t, half(t, p, who), p.base+"/sign-in/code", url.Values{"code": {codes[1]}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(says, "Too many wrong codes") {
		t.Errorf("the right one after five wrong ones: status %d", status)
	}
}

func TestSecondStepIsTurnedOffWithThePassword(t *testing.T) {
	p := serveStaffed(t)
	const who = "leads@example.org" // any account may have one
	c := p.signIn(t, who)
	secondStep(t, p, c)
	off := p.base + "/account/two-step/off"
	if status, _, _ := sends(t, c, off, url.Values{"current": {"no"}}); status != http.StatusUnprocessableEntity {
		t.Errorf("with a wrong password: status %d", status)
	}
	half(t, p, who)
	if status, _, _ := sends(t, c, off, url.Values{"current": {samplePassword}}); status != http.StatusSeeOther {
		t.Errorf("with the right one: status %d", status)
	}
	if again := p.signIn(t, who); !p.in(t, again) {
		t.Error("the password alone does not open the account")
	}
}

// After the house's wait a coordinator with a password alone keeps the board and loses what
// only coordinators do, until the second step is there.
func TestCoordinatorIsHeldBackAfterTheWait(t *testing.T) {
	p := serveStaffed(t)
	ctx := context.Background()
	a, err := p.db.AccountStore().AccountByEmail(ctx, "coordinator@example.org")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.db.AccountStore().AskTwoStep(ctx, a.ID, time.Now().Add(-13*24*time.Hour)); err != nil {
		t.Fatal(err)
	}
	c := p.signIn(t, a.Email)
	mustAnswer(t, c, p.base+"/people", http.StatusOK)
	setSecondStepWait(t, p, 7*24*time.Hour)
	for path, want := range map[string]int{"/people": http.StatusSeeOther, "/house": http.StatusSeeOther, "/desk": http.StatusSeeOther, "/board": http.StatusOK, "/account/two-step": http.StatusOK} {
		status, _, to := answers(t, c, p.base+path)
		if status != want {
			t.Errorf("%s: status %d, want %d (%.80s)", path, status, want, to)
		}
	}
	secondStep(t, p, c)
	mustAnswer(t, c, p.base+"/people", http.StatusOK)
}

func TestHouseThatAsksForNoSecondStep(t *testing.T) {
	p := serveStaffed(t)
	setSecondStepWait(t, p, 3650*24*time.Hour)
	c := p.signIn(t, "coordinator@example.org")
	if says := mustAnswer(t, c, p.base+"/desk", http.StatusOK); strings.Contains(says, "/account/two-step") {
		t.Error("the desk asks all the same")
	}
}

func setSecondStepWait(t testing.TB, p staffed, wait time.Duration) {
	t.Helper()
	err := p.db.ChangeHouse(context.Background(), func(h *rules.House) ([]rules.HouseChange, error) {
		rules := h.Rules
		rules.SecondStep = wait
		return h.Rule(rules, "For the test.", "Juniper Vale", time.Now())
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestSecondStepPages(t *testing.T) {
	for _, size := range screens() {
		t.Run(size.name, func(t *testing.T) {
			p := serveStaffed(t)
			v := browser(t, p.base, size)
			v.do(chromedp.Navigate(v.base + "/sign-in"))
			v.fill("main form", map[string]string{"email": "coordinator@example.org", "password": samplePassword})
			v.press("main form button[type=submit]")
			v.sees("Set up a second step")
			v.open("/account")
			v.open("/account/two-step")
			v.fill("form[action$=begin]", map[string]string{"current": "no"})
			v.press("form[action$=begin] button")
			v.sees("This is not your password")
			v.fill("form[action$=begin]", map[string]string{"current": samplePassword})
			v.press("form[action$=begin] button")
			key := keyOn(t, v.text("main"))
			v.fill("form[action$=two-step]", map[string]string{"code": "no"})
			v.press("form[action$=two-step] button")
			v.sees("not the code of now")
			v.fill("form[action$=two-step]", map[string]string{"code": key.CodeAt(account.CodeStep(time.Now()))})
			v.press("form[action$=two-step] button")
			v.sees("Shown this once")
			v.open("/account/two-step")
			v.sees("10 recovery codes are left")
			v.press(".Cover-viewer form button")
			v.do(chromedp.Navigate(v.base + "/sign-in"))
			v.fill("main form", map[string]string{"email": "coordinator@example.org", "password": samplePassword})
			v.press("main form button[type=submit]")
			v.sees("Your password was right")
			v.fill("main form", map[string]string{"code": "nothing"})
			v.press("main form button")
			v.sees("not the code of now")
			v.fill("main form", map[string]string{"code": key.CodeAt(account.CodeStep(time.Now()) + 1)})
			v.press("main form button")
			v.sees("Desk")
		})
	}
}
