package accounts_test

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
)

func TestSignInsEndOneByOneAndTogether(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	phone, desk := s.SignIn(t, sitetest.Leader), s.SignIn(t, sitetest.Leader)
	lost, other := s.SignIn(t, sitetest.Leader), s.SignIn(t, sitetest.OtherLeader)
	page := phone.Get("/account").Want(http.StatusOK).Shows("this browser")
	ends := regexp.MustCompile(`/account/sign-ins/[0-9a-f-]{36}/end`).FindAllString(page.Body, -1)
	if len(ends) != 2 {
		t.Fatalf("%d other sign-ins can be ended, want 2", len(ends))
	}
	other.Post(ends[0], nil)
	if !lost.IsSignedIn() || !desk.IsSignedIn() {
		t.Error("another account ended a sign-in")
	}
	phone.Post(ends[0], nil)
	if got := signedIn(desk, lost); got != 1 {
		t.Errorf("after one was ended, %d of two are signed in, want 1", got)
	}
	phone.Post("/account/sign-ins/end-others", nil)
	if got := signedIn(desk, lost); got != 0 {
		t.Errorf("after the others were ended, %d of two are signed in, want 0", got)
	}
	if got := signedIn(phone, other); got != 2 {
		t.Errorf("of this browser and the other account %d are signed in, want 2", got)
	}
}

func signedIn(visitors ...*sitetest.Visitor) (n int) {
	for _, v := range visitors {
		if v.IsSignedIn() {
			n++
		}
	}
	return n
}

func TestPasswordChangeEndsOtherSignIns(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	here, there := s.SignIn(t, sitetest.Leader), s.SignIn(t, sitetest.Leader)
	for _, tt := range []struct {
		name, current, password string
		want                    int
		others                  bool
	}{
		{"a wrong password changes nothing", "not the password", newPassword, http.StatusUnprocessableEntity, true},
		{"a short one changes nothing", sitetest.Password, "short", http.StatusUnprocessableEntity, true},
		{"the right one ends the others", sitetest.Password, newPassword, http.StatusSeeOther, false},
		{"the old one is refused", sitetest.Password, newPassword + " two", http.StatusUnprocessableEntity, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			form := url.Values{"current": {tt.current}, "password": {tt.password}}
			here.In(t).Post("/account/password", form).Want(tt.want)
			if !here.In(t).IsSignedIn() {
				t.Error("this browser is signed out")
			}
			if got := there.In(t).IsSignedIn(); got != tt.others {
				t.Errorf("the other browser is signed in: %v, want %v", got, tt.others)
			}
		})
	}
	form := url.Values{"email": {sitetest.Leader}, "password": {newPassword}}
	s.Visitor(t).Post("/sign-in", form).Want(http.StatusSeeOther)
}

func TestSignInExpires(t *testing.T) {
	t.Parallel()
	const day = 24 * time.Hour
	began := time.Now()
	clock := sitetest.NewClock(began)
	s := sitetest.Pages(t, sitetest.Staffed, clock.Now)
	v := s.SignIn(t, sitetest.Leader)
	for _, tt := range []struct {
		name  string
		after time.Duration
		want  bool
	}{
		{"within the week", 6 * day, true},
		{"being seen puts it off", 8 * day, true},
		{"a week unseen ends it", 15*day + time.Minute, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			clock.Set(began.Add(tt.after))
			if got := v.In(t).IsSignedIn(); got != tt.want {
				t.Errorf("after %v signed in: %v, want %v", tt.after, got, tt.want)
			}
		})
	}
}

func TestSignOutEndsTheSignIn(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	v := s.SignIn(t, sitetest.Leader)
	v.Post("/sign-out", nil)
	list, err := s.DB.AccountStore().SignIns(context.Background(), s.Account(t, sitetest.Leader).ID, time.Now())
	if err != nil || len(list) != 0 || v.IsSignedIn() {
		t.Errorf("%d sign-ins are left, %v; want none", len(list), err)
	}
}

func TestGuessingPasswordsIsSlow(t *testing.T) {
	t.Parallel()
	v := sitetest.Pages(t, sitetest.Staffed, time.Now).Visitor(t)
	for try := range 12 {
		want := http.StatusUnprocessableEntity
		if try >= 10 {
			want = http.StatusTooManyRequests
		}
		form := url.Values{"email": {sitetest.Coordinator}, "password": {"not the password"}}
		if got := v.Post("/sign-in", form).Status; got != want {
			t.Errorf("try %d: status %d, want %d", try+1, got, want)
		}
	}
}
