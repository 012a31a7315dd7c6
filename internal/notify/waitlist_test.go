package notify_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

func TestContactsAreAskedOnce(t *testing.T) {
	f := newFake()
	f.places[0].EmergencyName, f.places[0].ContactEmail = "Teo Abara", "home@example.org"
	n := f.notifier(t)
	for range 3 {
		if err := n.ProcessWaitlists(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if got := f.to(); !slices.Equal(got, []string{"home@example.org"}) {
		t.Fatalf("asked %v, want the contact once", got)
	}
	if !strings.Contains(f.text(), "Hello Teo Abara,") ||
		!strings.Contains(f.text(), "https://hikes.example.org/contact/") {
		t.Error(f.text())
	}
	if l := f.links[0]; !l.Expires.Equal(f.hike.ContactLinkEnds()) {
		t.Errorf("the link ends %v, want %v", l.Expires, f.hike.ContactLinkEnds())
	}
}

// stale is a store that lists sign-ups as they were before another program asked a contact.
type stale struct{ *fake }

func (s stale) SignUps(ctx context.Context, id ref.Hike) ([]signup.SignUp, error) {
	list, err := s.fake.SignUps(ctx, id)
	for i := range list {
		list[i].ContactAsked = time.Time{}
	}
	return list, err
}

func TestAContactAskedByAnotherProgramIsNotAskedAgain(t *testing.T) {
	f := newFake()
	f.places[0].EmergencyName, f.places[0].ContactEmail = "Teo Abara", "home@example.org"
	f.places[0].ContactAsked = f.now
	c := f.config()
	c.Store = stale{f}
	n, err := notify.New(c)
	if err != nil {
		t.Fatal(err)
	}
	if err := n.ProcessWaitlists(t.Context()); err != nil || len(f.mails) != 0 {
		t.Errorf("%d mails, %v; want none", len(f.mails), err)
	}
}

func TestContactsAreNotAsked(t *testing.T) {
	for name, change := range map[string]func(*fake){
		"early":          func(f *fake) { f.now = f.hike.Meet.Add(-signup.ContactAhead - time.Minute) },
		"of a draft":     func(f *fake) { f.hike.State = hike.Draft },
		"of who waits":   func(f *fake) { f.places[0].State = signup.Waiting },
		"who said yes":   func(f *fake) { f.places[0].ContactConfirmed = f.now },
		"without a mail": func(f *fake) { f.places[0].ContactEmail = "" },
	} {
		t.Run(name, func(t *testing.T) {
			f := newFake()
			f.places[0].EmergencyName, f.places[0].ContactEmail = "Teo Abara", "home@example.org"
			change(f)
			if err := f.notifier(t).ProcessWaitlists(t.Context()); err != nil || len(f.mails) != 0 {
				t.Errorf("%d mails, %v; want none", len(f.mails), err)
			}
		})
	}
}

func TestProcessWaitlistsReturnsTheStoresError(t *testing.T) {
	f := newFake()
	c := f.config()
	c.Store = broken{f}
	n, err := notify.New(c)
	if err != nil {
		t.Fatal(err)
	}
	if err := n.ProcessWaitlists(t.Context()); !errors.Is(err, errBroken) {
		t.Errorf("got %v, want %v", err, errBroken)
	}
}
