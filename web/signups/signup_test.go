package signups_test

import (
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
)

// Two hundred people ask at once for twenty places, through the real pages.
func TestTwoHundredAskAtOnceForTwentyPlaces(t *testing.T) {
	t.Parallel()
	const people = 200
	o := serve(t, sitetest.Staffed)
	v := o.Visitor(t)
	v.Client().Jar = nil // strangers, each without a session
	seal := o.seal(t, v)
	pages := make([]sitetest.Page, people)
	var all sync.WaitGroup
	for i := range people {
		all.Go(func() {
			form := signUpForm(i)
			form.Set("seal", seal)
			pages[i] = v.Post(signUpPath, form)
		})
	}
	all.Wait()
	for i, p := range pages {
		if p.Status != http.StatusSeeOther || !strings.HasPrefix(p.Location(), "/place/") {
			t.Errorf("walker %d: status %d to %q, want their own page", i, p.Status, p.Location())
		}
	}
	list := o.SignUps(t, 1)
	if len(list) != people {
		t.Fatalf("%d on file, want %d", len(list), people)
	}
	for i, s := range list {
		want := signup.Waiting
		if i < 20 {
			want = signup.Confirmed
		}
		if s.State != want {
			t.Errorf("number %d in the order of asking is %s, want %s", i+1, s.State, want)
		}
	}
	if got := len(o.Mails(t)); got != people {
		t.Errorf("%d mails, want %d: one for each", got, people)
	}
}

func TestWithdrawingAndAskingAgain(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v := o.Visitor(t)
	place := o.signUp(t, v, signUpForm(1))
	for _, step := range []struct {
		path string
		want signup.State
	}{{"/withdraw", signup.Withdrawn}, {"/withdraw", signup.Withdrawn}, {"/ask-again", signup.Confirmed}} {
		v.Post(place+step.path, nil)
		o.only(t, step.want)
	}
}

// A place and the mail that tells of it are stored together: while the outbox takes nothing,
// nobody gets a place that they are not told of, and nobody loses one.
func TestNoPlaceChangesWithoutItsMail(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v := o.Visitor(t)
	form := signUpForm(1)
	form.Set("seal", o.seal(t, v))
	withoutOutbox := func(path string, form url.Values) {
		t.Helper()
		o.Exec(t, `ALTER TABLE outbox RENAME TO elsewhere`)
		defer o.Exec(t, `ALTER TABLE elsewhere RENAME TO outbox`)
		v.Post(path, form).Want(http.StatusInternalServerError)
	}
	withoutOutbox(signUpPath, form)
	if list := o.SignUps(t, 1); len(list) != 0 {
		t.Errorf("after a sign-up without its mail there are %+v, want nobody", list)
	}
	place := v.Post(signUpPath, form).Want(http.StatusSeeOther).Location()
	withoutOutbox(place+"/withdraw", nil)
	o.only(t, signup.Confirmed)
}

// What a machine sends is shown once more, with all that was typed, and stores nothing.
func TestFormsOfMachinesAreSentBack(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v := o.Visitor(t)
	seal := o.seal(t, v)
	fresh := v.Get(signUpPath).Attr("input[name=seal]", "value")
	for _, tt := range []struct {
		name   string
		change func(url.Values)
		want   string
	}{
		{"no seal", func(f url.Values) { f.Del("seal") }, "was not opened here"},
		{"a forged seal", func(f url.Values) { f.Set("seal", "1700000000.abc") }, "was not opened here"},
		{"at once", func(f url.Values) { f.Set("seal", fresh) }, "faster than a person"},
		{"a hidden field", func(f url.Values) { f.Set("website", "http://example.org") }, "people do not see"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			form := signUpForm(1)
			form.Set("seal", seal)
			tt.change(form)
			page := v.In(t).Post(signUpPath, form).Want(http.StatusUnprocessableEntity)
			if got := page.Text(".Note"); !strings.Contains(got, tt.want) {
				t.Errorf("notes %q, want %q", got, tt.want)
			}
			if got := page.Attr("input[name=name]", "value"); got != "Walker 001" {
				t.Errorf("name %q, want what was typed", got)
			}
		})
	}
	if got := len(o.SignUps(t, 1)); got != 0 {
		t.Errorf("%d stored, want none", got)
	}
}
