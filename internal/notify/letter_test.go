package notify_test

import (
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/signup"
)

func TestLettersByStateOfThePlace(t *testing.T) {
	f := newFake()
	n := f.notifier(t)
	asked := func(p signup.SignUp) notify.PlaceLetter { return n.AskedLetter(f.hike, p, account.Secret{}) }
	for _, c := range []struct {
		name   string
		letter func(signup.SignUp) notify.PlaceLetter
		state  signup.State
		want   string // the key's kind; "" for no mail
	}{
		{"asked and confirmed", asked, signup.Confirmed, "confirmed"},
		{"asked and to be called first", asked, signup.Asked, "asked"},
		{"asked and on the waiting list", asked, signup.Waiting, "waiting"},
		{"took an offer", notify.ActedLetter(signup.Offered, "https://x.example/place/y"), signup.Confirmed,
			"confirmed"},
		{"withdrew", notify.ActedLetter(signup.Confirmed, ""), signup.Withdrawn, "withdrawn"},
		{"changed no state", notify.ActedLetter(signup.Confirmed, ""), signup.Confirmed, ""},
		{"left the call to come", notify.OutcomeLetter, signup.Asked, ""},
		{"confirmed by the call", notify.OutcomeLetter, signup.Confirmed, "confirmed"},
		{"turned away by the call", notify.OutcomeLetter, signup.TurnedAway, "turned-away"},
		{"sees it on the page", notify.NoLetter, signup.Confirmed, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := f.places[0]
			p.State, p.Because = c.state, "The pace is too fast for now."
			mails, err := n.ChangedMails(f.hike, c.letter)(t.Context(), []signup.SignUp{p})
			if err != nil {
				t.Fatal(err)
			}
			got := ""
			if len(mails) > 0 {
				got, _, _ = strings.Cut(mails[0].Key, "/")
			}
			if got != c.want || len(mails) > 1 {
				t.Errorf("%d mails, the first is %q; want %q", len(mails), got, c.want)
			}
		})
	}
}

// Somebody else's withdrawal moves two places; each gets a mail with a new link.
func TestMovedPlacesGetNewLinks(t *testing.T) {
	f := newFake()
	moved := []signup.SignUp{f.places[0], f.places[1], {ID: "left", State: signup.Withdrawn}}
	moved[0].State = signup.Offered
	moved[0].HeldUntil = start().Add(-12 * time.Hour)
	moved[1].State = signup.Confirmed
	mails, err := f.notifier(t).ChangedMails(f.hike, nil)(t.Context(), moved)
	if err != nil || len(mails) != 2 || len(f.links) != 2 {
		t.Fatalf("%d mails, %d links, %v; want two of each", len(mails), len(f.links), err)
	}
	for i, m := range mails {
		_, rest, _ := strings.Cut(m.Text, "https://hikes.example.org/place/")
		secret, err := account.ParseSecret(strings.Fields(rest)[0])
		if err != nil || !f.links[i].Hash.Matches(secret) || !f.links[i].Expires.Equal(f.hike.Start) {
			t.Errorf("mail %d: the link in it (%v) is not the one that was stored", i, err)
		}
	}
	if !strings.HasPrefix(mails[0].Key, "offered/") || !strings.HasPrefix(mails[1].Key, "promoted/") {
		t.Errorf("keys %s and %s, want an offer and a promotion", mails[0].Key, mails[1].Key)
	}
}

// A confirmed place brings its calendar entry; giving it back takes the entry out again,
// under another key.
func TestInvitationFollowsThePlace(t *testing.T) {
	f := newFake()
	f.planned(t)
	n := f.notifier(t)
	change := func(state signup.State, link string) message.Mail {
		t.Helper()
		p := f.places[0]
		p.State = state
		before := signup.Offered
		mails, err := n.ChangedMails(f.hike, notify.ActedLetter(before, link))(t.Context(), []signup.SignUp{p})
		if err != nil || len(mails) != 1 {
			t.Fatalf("%s: %d mails, %v", state, len(mails), err)
		}
		return mails[0]
	}
	for _, c := range []struct {
		state  signup.State
		key    string
		method string
	}{
		{signup.Confirmed, "confirmed/wren", "REQUEST"},
		{signup.Withdrawn, "withdrawn/wren-1", "CANCEL"},
		{signup.Confirmed, "confirmed/wren-2", "REQUEST"},
		{signup.Withdrawn, "withdrawn/wren-3", "CANCEL"},
	} {
		m := change(c.state, "")
		if m.Key != c.key || len(m.Attach) != 1 {
			t.Fatalf("key %q with %d files, want %q with one", m.Key, len(m.Attach), c.key)
		}
		file := strings.ReplaceAll(string(m.Attach[0].Bytes), "\r\n ", "")
		for _, want := range []string{
			"METHOD:" + c.method, "UID:place-wren@hikes.example.org", "https://hikes.example.org/hikes/9",
			"mailto:wren@example.org", "mailto:hikes@hikes.example.org",
		} {
			if !strings.Contains(file, want) {
				t.Errorf("%s: %q is not in the file\n%s", m.Key, want, file)
			}
		}
		if strings.Contains(file, "/place/") {
			t.Errorf("%s: the private link is in the calendar\n%s", m.Key, file)
		}
	}
}

func TestWaitingBringsNoCalendarEntry(t *testing.T) {
	f := newFake()
	n := f.notifier(t)
	mails, err := n.PlaceMails(t.Context(), hikeData(f), n.AskedLetter(f.hike, f.places[1], account.Secret{}))
	if err != nil || len(mails) != 1 || len(mails[0].Attach) != 0 {
		t.Errorf("%d mails, %v: want one without a file", len(mails), err)
	}
}

func TestMailToABadAddressIsLoggedAndHoldsUpNobody(t *testing.T) {
	f := newFake()
	n := f.notifier(t)
	bad := f.places[1]
	bad.Email = "nowhere"
	mails, err := n.PlaceMails(t.Context(), hikeData(f),
		n.AskedLetter(f.hike, bad, account.Secret{}), n.AskedLetter(f.hike, f.places[0], account.Secret{}))
	if err != nil || len(mails) != 1 || mails[0].To != "wren@example.org" {
		t.Errorf("%d mails, %v: want the good one", len(mails), err)
	}
	if !strings.Contains(f.log.String(), "amaya") {
		t.Errorf("logged %q, want the place that got no mail", f.log.String())
	}
}
