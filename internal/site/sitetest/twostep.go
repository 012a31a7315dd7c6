package sitetest

import (
	"encoding/base32"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
)

// SetUpTwoStep gives the account of a visitor a second step, and returns its key and the
// recovery codes.
func (v *Visitor) SetUpTwoStep() (account.CodeKey, []string) {
	v.t.Helper()
	const path = "/account/two-step"
	v.Post(path+"/begin", url.Values{"current": {Password}}).Want(http.StatusSeeOther)
	key := TwoStepKey(v.t, v.Get(path).Want(http.StatusOK).Text("main"))
	page := v.Post(path, url.Values{"code": {key.CodeAt(account.CodeStep(time.Now()))}}).Want(http.StatusCreated)
	codes := regexp.MustCompile(`(?:[a-z2-7]{4} ){5}[a-z2-7]{4}`).FindAllString(page.Body, -1)
	if len(codes) != account.RecoveryCodes {
		v.t.Fatalf("%d recovery codes, want %d", len(codes), account.RecoveryCodes)
	}
	return key, codes
}

// TwoStepKey reads the key off the text of the page that sets up a second step.
func TwoStepKey(t testing.TB, page string) account.CodeKey {
	t.Helper()
	text := regexp.MustCompile(`(?:[A-Z2-7]{4} ){7}[A-Z2-7]{4}`).FindString(page)
	raw, err := base32.StdEncoding.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil || len(raw) != 20 {
		t.Fatalf("no key on the page: %q, %v", text, err)
	}
	return account.CodeKeyFromBytes(raw)
}

// IsSignedIn reports whether the visitor is signed in.
func (v *Visitor) IsSignedIn() bool {
	v.t.Helper()
	return v.Get("/account").Status == http.StatusOK
}
