package browsertest

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"

	"saltbush/internal/account"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

// signIn signs in and looks at the pages on the way.
func signIn(v *chromium.Tab, email string) {
	v.Open("/sign-in")
	v.Fill("main form", map[string]string{"email": email, "password": sitetest.Password})
	v.Press(submit)
}

func TestSignInsAndPassword(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Staffed, func(t *testing.T, s *sitetest.Site, v *chromium.Tab) {
		s.SignIn(t, sitetest.Leader) // somewhere else
		signIn(v, sitetest.Leader)
		v.Open("/account")
		v.Sees("this browser")
		v.Sees("Chrome on Linux")
		v.Fill("form[action$=password]", map[string]string{"current": "no", "password": "no"})
		v.Press("form[action$=password] button")
		v.Sees("This is not your password")
		v.Press("form[action$=end-others] button")
		v.Sees("Every other browser is signed out")
	})
}

func TestSecondStep(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Staffed, func(t *testing.T, _ *sitetest.Site, v *chromium.Tab) {
		v.SignIn(sitetest.Coordinator)
		v.Sees("Set up a second step")
		v.Open("/account")
		v.Open("/account/two-step")
		key := setUpTwoStep(t, v)
		v.Open("/account/two-step")
		v.Sees("10 recovery codes are left")
		v.Press(signOut)
		v.SignIn(sitetest.Coordinator)
		v.Sees("Your password was right")
		v.Fill("main form", map[string]string{"code": "nothing"})
		v.Press("main form button")
		v.Sees("not the code of now")
		v.Fill("main form", map[string]string{"code": key.CodeAt(account.CodeStep(time.Now()) + 1)})
		v.Press("main form button")
		v.Sees("Desk")
	})
}

// setUpTwoStep sets up a second step after a wrong password and a wrong code.
func setUpTwoStep(t *testing.T, v *chromium.Tab) account.CodeKey {
	t.Helper()
	const begin, finish = "form[action$=begin]", "form[action$=two-step]"
	v.Fill(begin, map[string]string{"current": "no"})
	v.Press(begin + " button")
	v.Sees("This is not your password")
	v.Fill(begin, map[string]string{"current": sitetest.Password})
	v.Press(begin + " button")
	key := sitetest.TwoStepKey(t, v.Text("main"))
	v.Fill(finish, map[string]string{"code": "no"})
	v.Press(finish + " button")
	v.Sees("not the code of now")
	v.Fill(finish, map[string]string{"code": key.CodeAt(account.CodeStep(time.Now()))})
	v.Press(finish + " button")
	v.Sees("Shown this once")
	return key
}

func TestPersonPages(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Staffed, func(t *testing.T, s *sitetest.Site, v *chromium.Tab) {
		page := func(email string) string { return fmt.Sprintf("/people/%d", s.Account(t, email).ID) }
		s.SignIn(t, sitetest.Leader).SetUpTwoStep()
		v.SignIn(sitetest.Coordinator)
		v.Open("/people")
		v.Press(`a[href="` + page(sitetest.Coordinator) + `"]`)
		v.Click("#roles-coordinator")
		v.Press(submit)
		v.Sees("This is the last coordinator")
		v.Open(page(sitetest.Leader))
		v.Press("form[action$=link] button")
		v.Sees("It is shown this once")
		link := regexp.MustCompile(`http\S+/new-password/\S+`).FindString(v.Text(".Copy"))
		v.Press(signOut)
		v.Open(link)
		v.Sees("Choose a new password")
		v.Open("/lost-password")
		v.Fill("main form", map[string]string{"email": sitetest.Leader})
		v.Press("main form button")
		v.Sees("If the address is known")
		v.Open(link)
		v.Sees("There is nothing at this address") // the mailed one has taken its place
	})
}

func TestLostLinkPage(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	onScreens(t, s.URL, func(_ *testing.T, v *chromium.Tab) {
		v.Open("/lost-link")
		v.Fill("main form", map[string]string{"email": "nowhere"})
		v.Press("main form button")
		v.Sees("Give an address that mail can reach")
		v.Fill("main form", map[string]string{"email": "amaya@example.org"})
		v.Press("main form button")
		v.Sees("If the address is known")
	})
}

// The buttons by which passkeys are added and sign in.
const (
	addPasskeyButton = "#passkey-add button"
	passkeyButton    = "#passkey-in button"
)

func TestPasskey(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Staffed, func(t *testing.T, s *sitetest.Site, v *chromium.Tab) {
		v.Base = strings.Replace(v.Base, "127.0.0.1", "localhost", 1) // passkeys are for names
		asked := time.Now().Add(-20 * 24 * time.Hour)
		id := s.Account(t, sitetest.Coordinator).ID
		if _, err := s.DB.AccountStore().AskTwoStep(context.Background(), id, asked); err != nil {
			t.Fatal(err)
		}
		device := addAuthenticator(v)
		v.SignIn(sitetest.Coordinator)
		v.Sees("This house asks its coordinators")
		addPasskey(v)
		v.Open("/people")
		v.Sees("Ash Moreno")
		v.Press(signOut)
		v.Open("/sign-in?next=/people")
		v.Tap(passkeyButton, "Ash Moreno")
		v.Press(signOut)

		setVerified(v, device, false)
		v.Open("/sign-in")
		v.Tap(passkeyButton, "Nothing was done")
		setVerified(v, device, true)
		v.Tap(passkeyButton, "Wants doing")
		removePasskey(v)
		v.Press(signOut)
		v.Open("/sign-in")
		v.Tap(passkeyButton, "This passkey was not taken")
		v.Look()
	})
}

// addAuthenticator gives the browser a device that keeps passkeys and knows its owner.
func addAuthenticator(v *chromium.Tab) webauthn.AuthenticatorID {
	v.T.Helper()
	if _, err := chromedp.Call(v.Ctx, webauthn.Enable, webauthn.EnableParams{}); err != nil {
		v.T.Fatal(err)
	}
	options := &webauthn.VirtualAuthenticatorOptions{
		Protocol:                    webauthn.AuthenticatorProtocolCtap2,
		Ctap2version:                webauthn.Ctap2versionCtap21,
		Transport:                   webauthn.AuthenticatorTransportInternal,
		HasResidentKey:              true,
		HasUserVerification:         true,
		IsUserVerified:              true,
		AutomaticPresenceSimulation: true,
	}
	params := webauthn.AddVirtualAuthenticatorParams{Options: options}
	made, err := chromedp.Call(v.Ctx, webauthn.AddVirtualAuthenticator, params)
	if err != nil {
		v.T.Fatal(err)
	}
	return made.AuthenticatorID
}

// setVerified says whether the device takes its user for the owner.
func setVerified(v *chromium.Tab, id webauthn.AuthenticatorID, yes bool) {
	v.T.Helper()
	params := webauthn.SetUserVerifiedParams{AuthenticatorID: id, IsUserVerified: yes}
	if _, err := chromedp.Call(v.Ctx, webauthn.SetUserVerified, params); err != nil {
		v.T.Fatal(err)
	}
}

// addPasskey adds a passkey after a wrong password and a missing name.
func addPasskey(v *chromium.Tab) {
	v.T.Helper()
	const form = "#passkey-add"
	v.Open("/account/passkeys")
	v.Sees("None yet")
	v.Fill(form, map[string]string{"name": "My phone", "current": "no"})
	v.Tap(addPasskeyButton, "This is not your password")
	v.Fill(form, map[string]string{"name": " ", "current": sitetest.Password})
	v.Tap(addPasskeyButton, "Say where this passkey is kept")
	v.Fill(form, map[string]string{"name": "My phone"})
	v.Tap(addPasskeyButton, "it signs you in")
	v.Sees("Your passkeys (1)")
	v.Look()
	v.Fill(form, map[string]string{"name": "The same", "current": sitetest.Password})
	v.Tap(addPasskeyButton, "keeps a passkey of yours already")
}

// removePasskey removes the only passkey, after a wrong password.
func removePasskey(v *chromium.Tab) {
	v.T.Helper()
	const form = "form[action$=remove]"
	v.Open("/account/passkeys")
	v.Fill(form, map[string]string{"passkey": "1", "current": "no"})
	v.Press(form + " button")
	v.Sees("This is not your password")
	v.Fill(form, map[string]string{"passkey": "1", "current": sitetest.Password})
	v.Press(form + " button")
	v.Sees("it opens nothing any more")
	v.Sees("None yet")
}
