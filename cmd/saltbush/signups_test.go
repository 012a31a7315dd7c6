package main

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"saltbush/internal/hike"
)

func signUpForm(n int) url.Values {
	return url.Values{
		"name": {fmt.Sprintf("Walker %03d", n)}, "email": {fmt.Sprintf("walker%d@example.org", n)}, "mobile": {fmt.Sprintf("555 0100 %03d", n)},
		"contact": {"Somebody At Home"}, "contact_tel": {"555 0199 999"}, "longest": {"9 km, three hours, fine"},
		"hot_days": {"3"}, "water": {"4"}, "age": {"adult"}, "agree": {"on"},
	}
}

// Two hundred people ask at once for twenty places, through the real pages.
func TestTwoHundredAskAtOnceForTwentyPlaces(t *testing.T) {
	p := serveStaffed(t)
	const people = 200
	status := make([]int, people)
	where := make([]string, people)
	c := client(t)
	c.Jar = nil // strangers, each without a session
	var wg sync.WaitGroup
	for i := range people {
		wg.Go(func() {
			res, err := c.PostForm(p.base+"/hikes/1/sign-up", signUpForm(i))
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
		want := hike.Waiting
		if i < 20 {
			want = hike.Confirmed
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
	res, err := c.PostForm(p.base+"/hikes/1/sign-up", signUpForm(1))
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	place := res.Header.Get("Location")
	for _, step := range []struct {
		path string
		want hike.SignUpState
	}{{"/withdraw", hike.Withdrawn}, {"/withdraw", hike.Withdrawn}, {"/ask-again", hike.Confirmed}} {
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
