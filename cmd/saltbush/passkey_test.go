package main

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"
)

// withKeeper gives the browser a device that keeps passkeys and knows its owner.
func (v *visitor) withKeeper() webauthn.AuthenticatorID {
	v.t.Helper()
	if _, err := chromedp.Call(v.ctx, webauthn.Enable, webauthn.EnableParams{}); err != nil {
		v.t.Fatal(err)
	}
	made, err := chromedp.Call(v.ctx, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{Options: &webauthn.VirtualAuthenticatorOptions{
		Protocol: webauthn.AuthenticatorProtocolCtap2, Ctap2version: webauthn.Ctap2versionCtap21, Transport: webauthn.AuthenticatorTransportInternal,
		HasResidentKey: true, HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true,
	}})
	if err != nil {
		v.t.Fatal(err)
	}
	return made.AuthenticatorID
}

// knowsOwner says whether the device takes whoever holds it for its owner.
func (v *visitor) knowsOwner(id webauthn.AuthenticatorID, yes bool) {
	v.t.Helper()
	if _, err := chromedp.Call(v.ctx, webauthn.SetUserVerified, webauthn.SetUserVerifiedParams{AuthenticatorID: id, IsUserVerified: yes}); err != nil {
		v.t.Fatal(err)
	}
}

// arrives waits until the browser is on the page of the path.
func (v *visitor) arrives(path string) {
	v.t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if u, err := url.Parse(v.url()); err == nil && u.Path == path {
			v.look()
			return
		}
	}
	v.t.Fatalf("%s: never on %s\npage: %s", v.name, path, v.where())
}

const (
	addButton   = "#passkey-add button"
	enterButton = "#passkey-in button"
)

func TestPasskey(t *testing.T) {
	for _, size := range screens() {
		t.Run(size.name, func(t *testing.T) {
			p := serveStaffed(t)
			heldBack(t, p, "coordinator@example.org")
			v := browser(t, strings.Replace(p.base, "127.0.0.1", "localhost", 1), size)
			device := v.withKeeper()
			v.do(chromedp.Navigate(v.base + "/sign-in"))
			v.fill("main form", map[string]string{"email": "coordinator@example.org", "password": samplePassword})
			v.press("main form[action='/sign-in'] button")
			v.sees("This house asks its coordinators")
			addPasskeyOf(v)
			v.open("/people")
			v.sees("Ash Moreno")
			v.press(".Cover-viewer form button")
			v.open("/sign-in?next=/people")
			v.tap(enterButton, "Ash Moreno")
			v.press(".Cover-viewer form button")

			v.knowsOwner(device, false)
			v.open("/sign-in")
			v.tap(enterButton, "Nothing was done")
			v.knowsOwner(device, true)

			v.tap(enterButton, "Wants doing")
			removePasskeyOf(v)
			v.press(".Cover-viewer form button")
			v.open("/sign-in")
			v.tap(enterButton, "This passkey was not taken")
			v.look()
		})
	}
}

// addPasskeyOf adds a passkey to whoever is signed in, after a wrong password and a
// missing name.
func addPasskeyOf(v *visitor) {
	v.t.Helper()
	v.open("/account/passkeys")
	v.sees("None yet")
	v.fill("#passkey-add", map[string]string{"name": "My phone", "current": "no"})
	v.tap(addButton, "This is not your password")
	v.fill("#passkey-add", map[string]string{"name": " ", "current": samplePassword})
	v.tap(addButton, "Say where this passkey is kept")
	v.fill("#passkey-add", map[string]string{"name": "My phone"})
	v.tap(addButton, "it signs you in")
	v.sees("Your passkeys (1)")
	v.look()
	v.fill("#passkey-add", map[string]string{"name": "The same", "current": samplePassword})
	v.tap(addButton, "keeps a passkey of yours already")
}

func removePasskeyOf(v *visitor) {
	v.t.Helper()
	v.open("/account/passkeys")
	v.fill("form[action$=remove]", map[string]string{"passkey": "1", "current": "no"})
	v.press("form[action$=remove] button")
	v.sees("This is not your password")
	v.fill("form[action$=remove]", map[string]string{"passkey": "1", "current": samplePassword})
	v.press("form[action$=remove] button")
	v.sees("it opens nothing any more")
	v.sees("None yet")
}

// heldBack lets the wait of a coordinator be over.
func heldBack(t testing.TB, p staffed, email string) {
	t.Helper()
	ctx, s := context.Background(), p.db.AccountStore()
	a, err := s.AccountByEmail(ctx, email)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.AskTwoStep(ctx, a.ID, time.Now().Add(-20*24*time.Hour)); err != nil {
		t.Fatal(err)
	}
}

// An answer that nothing was asked for, and one that is no signature, open nothing.
func TestPasskeyAnswersAreRefused(t *testing.T) {
	p := serveStaffed(t)
	c := client(t)
	for _, tt := range []struct {
		name   string
		ask    bool
		answer string
	}{
		{"nothing was asked", false, "{}"},
		{"not an answer", true, "{}"},
		{"an account's number as the handle, and no signature", true, `{"id":"AQ","rawId":"AQ","type":"public-key","response":{"clientDataJSON":"e30","authenticatorData":"AA","signature":"AA","userHandle":"MQ"}}`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.ask {
				if status, _, _ := sends(t, c, p.base+"/sign-in/passkey/begin", nil); status != http.StatusOK {
					t.Fatalf("begin: status %d", status)
				}
			}
			status, _, says := sends(t, c, p.base+"/sign-in/passkey", url.Values{"answer": {tt.answer}})
			if status != http.StatusUnprocessableEntity || p.in(t, c) {
				t.Errorf("status %d, signed in %v: %s", status, p.in(t, c), says)
			}
		})
	}
}
