package notify_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

func (f *fake) announce(t *testing.T, consent bool) (hike.Announcing, []message.Mail) {
	t.Helper()
	a, mails, err := f.notifier(t).Announce(t.Context(), hikeData(f), consent, notify.AnnouncementContext{
		By: 1, Address: map[ref.Account]string{2: "ash@example.org"},
	})
	if err != nil {
		t.Fatal(err)
	}
	return a, mails
}

func (f *fake) decide(outcome hike.Outcome) {
	f.hike.Decision = hike.Decision{Go: true, Outcome: outcome, By: "Juniper Vale", At: f.now, Reason: "Heat."}
}

// The leader decided, so the sweep, who has a place, and who waits are written to: a letter
// and a reminder each, with one link of their own in both.
func TestAnnouncementGoesToEverybodyButItsAuthor(t *testing.T) {
	f := newFake()
	f.places = append(f.places,
		signup.SignUp{ID: "gone", State: signup.Withdrawn, Name: "Sol", Email: "sol@example.org"})
	f.decide(hike.Goes)
	a, mails := f.announce(t, false)
	var to []string
	links := map[string][]string{}
	for _, m := range mails {
		to = append(to, m.To)
		_, rest, _ := strings.Cut(m.Text, "https://hikes.example.org/updates/")
		links[m.To] = append(links[m.To], strings.Fields(rest)[0])
	}
	want := []string{"ash@example.org", "wren@example.org", "amaya@example.org"}
	if !slices.Equal(slices.Compact(to), want) || len(mails) != 6 || len(a.To) != 3 {
		t.Fatalf("%d mails to %v, %d recipients; want two to each of %v", len(mails), to, len(a.To), want)
	}
	for i, r := range a.To {
		first, again := mails[2*i], mails[2*i+1]
		if r.Reminder != again.Key || !again.NextTry.Equal(r.Remind) || !first.NextTry.IsZero() {
			t.Errorf("%s: reminded of %q at %v, the mail is %q at %v",
				first.To, r.Reminder, r.Remind, again.Key, again.NextTry)
		}
		if l := links[first.To]; l[0] != l[1] || len(r.Link) == 0 {
			t.Errorf("%s: links %v", first.To, l)
		}
	}
	if len(mails[0].Attach) != 0 || len(mails[2].Attach) != 1 || len(mails[4].Attach) != 0 {
		t.Error("want a calendar entry for the confirmed place alone")
	}
}

func TestAHarderTrailTurnsPlacesIntoOffers(t *testing.T) {
	f := newFake()
	f.decide(hike.OtherTrail)
	a, mails := f.announce(t, true)
	if len(a.Places) != 1 || a.Places[0].ID != "wren" || a.Places[0].State != signup.Offered {
		t.Errorf("changed places %+v, want Wren's offered", a.Places)
	}
	if !strings.HasPrefix(mails[2].Subject, "Please answer: ") || !strings.HasPrefix(mails[4].Subject, "Decided: ") {
		t.Errorf("subjects %q and %q: only who has a place is asked to agree", mails[2].Subject, mails[4].Subject)
	}
}

func TestAnOfferIsNotAskedToAgreeToTheSameTrail(t *testing.T) {
	f := newFake()
	f.places[0].State = signup.Offered
	f.decide(hike.Goes)
	if _, mails := f.announce(t, false); !strings.HasPrefix(mails[2].Subject, "Decided: ") {
		t.Errorf("subject %q, want a decision to read", mails[2].Subject)
	}
}

func TestACalledOffHikeSaysWhyAndCancelsTheEntry(t *testing.T) {
	f := newFake()
	f.hike.State = hike.CalledOff
	f.decide(hike.DoesNotGo)
	_, mails := f.announce(t, false)
	text := strings.Join(strings.Fields(mails[2].Text), " ")
	if !strings.HasPrefix(mails[2].Subject, "Called off: ") || !strings.Contains(text, "Why: Heat.") {
		t.Errorf("%s\n%s", mails[2].Subject, text)
	}
}

func TestNoReminderWhereThereIsNoTime(t *testing.T) {
	f := newFake()
	f.now = f.hike.Meet.Add(-time.Minute)
	f.decide(hike.Goes)
	a, mails := f.announce(t, false)
	if len(mails) != 3 || a.To[0].Reminder != "" {
		t.Errorf("%d mails, reminder %q; want a letter each", len(mails), a.To[0].Reminder)
	}
}
