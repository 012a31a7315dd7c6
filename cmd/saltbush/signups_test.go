package main

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/PuerkitoBio/goquery"

	"saltbush/internal/signup"
)

// signUpForm is what somebody sends with whom there is nothing to talk over.
func signUpForm(n int) url.Values {
	return url.Values{
		"walk_distance": {"80"}, "walk_unit": {"km"}, "walk_climb": {"4000"}, "climb_unit": {"m"}, "walk_hours": {"3"}, "walk_ago": {"2"},
		"hot_before": {"yes"}, "lives_here": {"yes"}, "heat_ill": {"no"}, "health": {"no"}, "shoes": {"boots"},
		"name": {fmt.Sprintf("Walker %03d", n)}, "email": {fmt.Sprintf("walker%d@example.org", n)}, "mobile": {fmt.Sprintf("602 555 0%03d", n)},
		"contact": {"Somebody At Home"}, "contact_tel": {"480 555 0199"}, "longest": {"9 km, three hours, fine"},
		"hot_days": {"3"}, "water": {"4"}, "age": {"adult"}, "agree": {"on"},
	}
}

// openForm opens the form as a browser does, waits as long as a quick person needs, and
// returns its seal.
func (p staffed) openForm(t *testing.T, c *http.Client) string {
	t.Helper()
	res, err := c.Get(p.base + "/hikes/1/sign-up")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	page, err := goquery.NewDocumentFromReader(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	seal, _ := page.Find("input[name=seal]").Attr("value")
	time.Sleep(2100 * time.Millisecond)
	return seal
}

// Two hundred people ask at once for twenty places, through the real pages.
func TestTwoHundredAskAtOnceForTwentyPlaces(t *testing.T) {
	p := serveStaffed(t)
	const people = 200
	status := make([]int, people)
	where := make([]string, people)
	c := client(t)
	c.Jar = nil // strangers, each without a session
	seal := p.openForm(t, c)
	var wg sync.WaitGroup
	for i := range people {
		wg.Go(func() {
			form := signUpForm(i)
			form.Set("seal", seal)
			res, err := c.PostForm(p.base+"/hikes/1/sign-up", form)
			if err != nil {
				t.Error(err)
				return
			}
			res.Body.Close()
			status[i], where[i] = res.StatusCode, res.Header.Get("Location")
		})
	}
	wg.Wait()
	for i := range people {
		if status[i] != http.StatusSeeOther || !strings.HasPrefix(where[i], "/place/") {
			t.Errorf("walker %d: status %d to %q, want their own page", i, status[i], where[i])
		}
	}
	list, err := p.db.SignUps(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
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
	mails, err := p.db.Outbox().Recent(context.Background(), 2*people)
	if err != nil || len(mails) != people {
		t.Errorf("%d mails, %v; want one for each", len(mails), err)
	}
}

func TestWithdrawingAndAskingAgain(t *testing.T) {
	p := serveStaffed(t)
	c := client(t)
	form := signUpForm(1)
	form.Set("seal", p.openForm(t, c))
	res, err := c.PostForm(p.base+"/hikes/1/sign-up", form)
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	place := res.Header.Get("Location")
	for _, step := range []struct {
		path string
		want signup.State
	}{{"/withdraw", signup.Withdrawn}, {"/withdraw", signup.Withdrawn}, {"/ask-again", signup.Confirmed}} {
		res, err := c.PostForm(p.base+place+step.path, nil)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		list, err := p.db.SignUps(context.Background(), 1)
		if err != nil || len(list) != 1 || list[0].State != step.want {
			t.Errorf("after %s: %v, %v; want %s", step.path, list, err, step.want)
		}
	}
}

// A place and the mail that tells of it are kept together: while the outbox takes nothing,
// nobody gets a place that they do not hear of, and nobody loses one.
func TestNoPlaceChangesWithoutItsMail(t *testing.T) {
	p := serveStaffed(t)
	c := client(t)
	form := signUpForm(1)
	form.Set("seal", p.openForm(t, c))
	sql := func(statement string) {
		t.Helper()
		if _, err := p.db.Pool().Exec(context.Background(), statement); err != nil {
			t.Fatal(err)
		}
	}
	post := func(path string, form url.Values, want int) (place string) {
		t.Helper()
		res, err := c.PostForm(p.base+path, form)
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		if res.StatusCode != want {
			t.Fatalf("%s: status %d, want %d", path, res.StatusCode, want)
		}
		return res.Header.Get("Location")
	}
	states := func() (list []signup.State) {
		t.Helper()
		places, err := p.db.SignUps(context.Background(), 1)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range places {
			list = append(list, s.State)
		}
		return list
	}
	sql(`ALTER TABLE outbox RENAME TO elsewhere`)
	post("/hikes/1/sign-up", form, http.StatusInternalServerError)
	if got := states(); len(got) != 0 {
		t.Errorf("after a sign-up without its mail: %v, want nobody", got)
	}
	sql(`ALTER TABLE elsewhere RENAME TO outbox`)
	place := post("/hikes/1/sign-up", form, http.StatusSeeOther)
	sql(`ALTER TABLE outbox RENAME TO elsewhere`)
	post(place+"/withdraw", nil, http.StatusInternalServerError)
	sql(`ALTER TABLE elsewhere RENAME TO outbox`)
	if got := states(); !slices.Equal(got, []signup.State{signup.Confirmed}) {
		t.Errorf("after a withdrawal without its mail: %v, want the place as it was", got)
	}
}

// What a machine sends is shown once more, with all that was typed, and stores nothing.
func TestFormsOfMachines(t *testing.T) {
	p := serveStaffed(t)
	c := client(t)
	seal := p.openForm(t, c)
	fresh := func() string {
		res, err := c.Get(p.base + "/hikes/1/sign-up")
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		page, _ := goquery.NewDocumentFromReader(res.Body)
		value, _ := page.Find("input[name=seal]").Attr("value")
		return value
	}
	for _, tt := range []struct {
		name   string
		change func(url.Values)
		want   string
	}{
		{"no seal", func(f url.Values) { f.Del("seal") }, "was not opened here"},
		{"seal of an own making", func(f url.Values) { f.Set("seal", "1700000000.abc") }, "was not opened here"},
		{"at once", func(f url.Values) { f.Set("seal", fresh()) }, "faster than a person"},
		{"unseen field", func(f url.Values) { f.Set("website", "http://example.org") }, "people do not see"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			form := signUpForm(1)
			form.Set("seal", seal)
			tt.change(form)
			res, err := c.PostForm(p.base+"/hikes/1/sign-up", form)
			if err != nil {
				t.Fatal(err)
			}
			defer res.Body.Close()
			page, _ := goquery.NewDocumentFromReader(res.Body)
			if res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(page.Find(".Note").Text(), tt.want) {
				t.Errorf("status %d, notes %q; want %q", res.StatusCode, page.Find(".Note").Text(), tt.want)
			}
			if name, _ := page.Find("input[name=name]").Attr("value"); name != "Walker 001" {
				t.Errorf("name is %q: what was typed is lost", name)
			}
		})
	}
	if list, _ := p.db.SignUps(context.Background(), 1); len(list) != 0 {
		t.Errorf("%d stored", len(list))
	}
}

// From asked over the talk to a refusal, an answer back, and a place after all.
func TestTalkFirstThroughThePages(t *testing.T) {
	p := serveStaffed(t)
	c, leader := client(t), p.signIn(t, "leads@example.org")
	form := signUpForm(1)
	form.Set("seal", p.openForm(t, c))
	form.Set("heat_ill", "yes")
	post := func(c *http.Client, path string, v url.Values, status int) string {
		t.Helper()
		res, err := c.PostForm(p.base+path, v)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if res.StatusCode != status {
			t.Fatalf("%s: status %d, want %d", path, res.StatusCode, status)
		}
		return res.Header.Get("Location")
	}
	now := func(want signup.State) signup.SignUp {
		t.Helper()
		list, err := p.db.SignUps(context.Background(), 1)
		if err != nil || len(list) != 1 || list[0].State != want {
			t.Fatalf("%+v, %v; want one, %s", list, err, want)
		}
		return list[0]
	}
	place := post(c, "/hikes/1/sign-up", form, http.StatusSeeOther)
	who := now(signup.Asked)
	if who.HeldUntil.IsZero() || who.RiskVersion == "" || who.RiskAccepted.IsZero() {
		t.Errorf("held %v, risks %q at %v: want all three", who.HeldUntil, who.RiskVersion, who.RiskAccepted)
	}
	talk := "/hikes/1/screening/" + who.ID
	post(leader, talk, url.Values{"outcome": {"declined"}}, http.StatusUnprocessableEntity)
	post(leader, talk, url.Values{"outcome": {"declined"}, "reason": {"This walk asks for more."}, "criterion": {signup.Criteria()[0]}}, http.StatusSeeOther)
	now(signup.TurnedAway)
	post(c, place+"/answer", url.Values{"answer": {"I walked the ridge last week."}}, http.StatusSeeOther)
	if got := now(signup.TurnedAway).Screening.Answer; got != "I walked the ridge last week." {
		t.Errorf("answer %q", got)
	}
	post(leader, talk, url.Values{"outcome": {"fits"}}, http.StatusSeeOther)
	now(signup.Confirmed)
	post(c, place+"/contact", url.Values{"contact": {"Teo"}, "contact_tel": {"480 555 01"}}, http.StatusUnprocessableEntity)
	post(c, place+"/contact", url.Values{"contact": {"Teo"}, "contact_tel": {"480 555 0123"}}, http.StatusSeeOther)
	post(leader, talk+"/reached", nil, http.StatusSeeOther)
	if got := now(signup.Confirmed); got.EmergencyPhone != "+1 480-555-0123" || got.ContactConfirmed.IsZero() {
		t.Errorf("contact %q confirmed %v", got.EmergencyPhone, got.ContactConfirmed)
	}
}

// An emergency contact with an address is asked three days before, once, and says yes by
// the link in the mail.
func TestContactIsAskedAndSaysYes(t *testing.T) {
	p := serveStaffed(t)
	c := client(t)
	form := signUpForm(1)
	form.Set("seal", p.openForm(t, c))
	form.Set("contact_email", "home@example.org")
	res, err := c.PostForm(p.base+"/hikes/1/sign-up", form)
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	ctx := context.Background()
	srv := p.notifier(t)
	for range 2 {
		if err := srv.ProcessWaitlists(ctx); err != nil {
			t.Fatal(err)
		}
	}
	mails, err := p.db.Outbox().Recent(ctx, 10)
	if err != nil {
		t.Fatal(err)
	}
	var links []string
	for _, m := range mails {
		if m.To == "home@example.org" {
			links = append(links, regexp.MustCompile(`/contact/\S+`).FindString(m.Text))
		}
	}
	if len(links) != 1 {
		t.Fatalf("%d mails to the contact, want one: %v", len(links), links)
	}
	if res, err = c.PostForm(p.base+links[0], nil); err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	list, err := p.db.SignUps(ctx, 1)
	if err != nil || len(list) != 1 || list[0].ContactConfirmed.IsZero() {
		t.Errorf("%v, %v: the contact's yes is not kept", list, err)
	}
}
