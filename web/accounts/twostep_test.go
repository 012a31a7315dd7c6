package accounts_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/rules"
	"saltbush/internal/site/sitetest"
)

// givePassword enters the password of an account with a second step, but no code yet.
func givePassword(t testing.TB, s *sitetest.Site, email string) *sitetest.Visitor {
	t.Helper()
	v := s.Visitor(t)
	page := v.Post("/sign-in", url.Values{"email": {email}, "password": {sitetest.Password}})
	if got := page.Want(http.StatusSeeOther).Location(); got != "/sign-in/code" {
		t.Fatalf("the password leads to %q, want /sign-in/code", got)
	}
	if v.IsSignedIn() {
		t.Fatal("signed in before the code")
	}
	return v
}

func giveCode(v *sitetest.Visitor, code string) sitetest.Page {
	return v.Post("/sign-in/code", url.Values{"code": {code}})
}

func TestSecondStep(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	first, elsewhere := s.SignIn(t, sitetest.Coordinator), s.SignIn(t, sitetest.Coordinator)
	first.Get("/desk").Want(http.StatusOK).Shows("/account/two-step")
	key, codes := first.SetUpTwoStep()
	if elsewhere.IsSignedIn() || !first.IsSignedIn() {
		t.Error("other browsers stay signed in, or this one does not")
	}
	first.Get("/desk").Want(http.StatusOK).Hides("/account/two-step")

	v := givePassword(t, s, sitetest.Coordinator)
	next := key.CodeAt(account.CodeStep(time.Now()) + 1)
	if got := giveCode(v, next).Want(http.StatusSeeOther).Location(); got != "/desk" || !v.IsSignedIn() {
		t.Errorf("the code leads to %q, signed in: %v; want /desk and true", got, v.IsSignedIn())
	}
	again := givePassword(t, s, sitetest.Coordinator)
	giveCode(again, next).Want(http.StatusUnprocessableEntity) // each code works once
	if again.IsSignedIn() {
		t.Error("signed in by a used code")
	}
	giveCode(again, codes[0]).Want(http.StatusSeeOther)
	if !again.IsSignedIn() {
		t.Error("not signed in by a recovery code")
	}
	last := givePassword(t, s, sitetest.Coordinator)
	giveCode(last, codes[0]).Want(http.StatusUnprocessableEntity)
	if last.IsSignedIn() {
		t.Error("signed in by a used recovery code")
	}
}

func TestSettingUpASecondStepAsksForPasswordAndCode(t *testing.T) {
	t.Parallel()
	v := sitetest.Pages(t, sitetest.Staffed, time.Now).SignIn(t, sitetest.Coordinator)
	const path = "/account/two-step"
	v.Post(path+"/begin", url.Values{"current": {"not the password"}}).Want(http.StatusUnprocessableEntity)
	v.Post(path+"/begin", url.Values{"current": {sitetest.Password}}).Want(http.StatusSeeOther)
	v.Post(path, url.Values{"code": {"12345"}}).Want(http.StatusUnprocessableEntity)
	v.SetUpTwoStep()
}

func TestRecoveryCodesAreStoredHashed(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	_, codes := s.SignIn(t, sitetest.Coordinator).SetUpTwoStep()
	var stored [][]byte
	err := s.DB.Pool().QueryRow(context.Background(),
		`SELECT recovery FROM two_steps WHERE key IS NOT NULL`).Scan(&stored)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range codes {
		want := sha256.Sum256([]byte(strings.ReplaceAll(c, " ", "")))
		if !bytes.Equal(stored[i], want[:]) {
			t.Errorf("code %d is stored as %x, want its hash %x", i, stored[i], want)
		}
	}
}

func TestWrongCodesStopAnAccount(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	_, codes := s.SignIn(t, sitetest.Coordinator).SetUpTwoStep()
	v := givePassword(t, s, sitetest.Coordinator)
	for range 5 {
		giveCode(v, "000 00x").Want(http.StatusUnprocessableEntity)
	}
	right := giveCode(givePassword(t, s, sitetest.Coordinator), codes[1])
	right.Want(http.StatusUnprocessableEntity).Shows("Too many wrong codes")
}

func TestSecondStepIsTurnedOffWithThePassword(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	v := s.SignIn(t, sitetest.Leader) // any account may have a second step
	v.SetUpTwoStep()
	const off = "/account/two-step/off"
	v.Post(off, url.Values{"current": {"no"}}).Want(http.StatusUnprocessableEntity)
	givePassword(t, s, sitetest.Leader)
	v.Post(off, url.Values{"current": {sitetest.Password}}).Want(http.StatusSeeOther)
	if again := s.SignIn(t, sitetest.Leader); !again.IsSignedIn() {
		t.Error("the password alone does not open the account")
	}
}

// After the wait in the rules of the house, a coordinator with a password alone may use the
// board, but do nothing that only coordinators may, until the second step is set up.
func TestCoordinatorWithoutSecondStepAfterTheWait(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	id := s.Account(t, sitetest.Coordinator).ID
	asked := time.Now().Add(-13 * 24 * time.Hour)
	if _, err := s.DB.AccountStore().AskTwoStep(context.Background(), id, asked); err != nil {
		t.Fatal(err)
	}
	v := s.SignIn(t, sitetest.Coordinator)
	v.Get("/people").Want(http.StatusOK)
	setSecondStepWait(t, s, 7*24*time.Hour)
	for path, want := range map[string]int{
		"/people":           http.StatusSeeOther,
		"/house":            http.StatusSeeOther,
		"/desk":             http.StatusSeeOther,
		"/board":            http.StatusOK,
		"/account/two-step": http.StatusOK,
	} {
		if got := v.Get(path).Status; got != want {
			t.Errorf("%s: status %d, want %d", path, got, want)
		}
	}
	v.SetUpTwoStep()
	v.Get("/people").Want(http.StatusOK)
}

func TestDeskAsksForNoSecondStepWithinTheWait(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	setSecondStepWait(t, s, 3650*24*time.Hour)
	s.SignIn(t, sitetest.Coordinator).Get("/desk").Want(http.StatusOK).Hides("/account/two-step")
}

func setSecondStepWait(t testing.TB, s *sitetest.Site, wait time.Duration) {
	t.Helper()
	err := s.DB.ChangeHouse(context.Background(), func(h *rules.House) ([]rules.HouseChange, error) {
		rules := h.Rules
		rules.SecondStep = wait
		return h.Rule(rules, "For the test.", "Juniper Vale", time.Now())
	})
	if err != nil {
		t.Fatal(err)
	}
}
