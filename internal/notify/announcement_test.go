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

// announce announces the decision of the hike, which was as before says.
func (f *fake) announce(t *testing.T, before hike.Data) (hike.Announcing, []message.Mail) {
	t.Helper()
	a, mails, err := f.notifier(t).Announce(t.Context(), before, hikeData(f), notify.AnnouncementContext{
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
	a, mails := f.announce(t, hikeData(f))
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

// A walk that asks more needs everybody's consent. Who no longer fits has a talk first, and
// keeps the place until then. Who waits is told.
func TestAHarderTrailTurnsPlacesIntoOffersOrTalks(t *testing.T) {
	f := newFake()
	f.planned(t)
	walked := signup.SelfReport{Walk: signup.Outing{Distance: 9000, Ascent: 500}, HotBefore: true, LivesHere: true}
	f.places[0].SelfReport, f.places[1].SelfReport = walked, walked
	f.places = append(f.places, signup.SignUp{ID: "sol", State: signup.Confirmed, Name: "Sol Ito",
		Email: "sol@example.org", SelfReport: signup.SelfReport{HotBefore: true, LivesHere: true,
			Walk: signup.Outing{Distance: 2000, Ascent: 500}}})
	before := hikeData(f)
	before.Trail.Profile = before.Trail.Profile.Turned(1000)
	f.decide(hike.OtherTrail)
	a, mails := f.announce(t, before)
	if len(a.Places) != 2 || a.Places[0].ID != "wren" || a.Places[0].State != signup.Offered {
		t.Fatalf("changed places %+v, want Wren's offered", a.Places)
	}
	sol := a.Places[1]
	if sol.State != signup.Asked || len(sol.Screening.Talk) != 1 || !sol.HeldUntil.Equal(f.hike.Start) {
		t.Errorf("Sol is %s until %v because of %q, want a talk first and the place kept", sol.State, sol.HeldUntil,
			sol.Screening.Talk)
	}
	words := func(i int) string { return strings.Join(strings.Fields(mails[i].Text), " ") }
	if !a.Telling.Consent || !strings.HasPrefix(mails[2].Subject, "Please answer: ") ||
		!strings.Contains(words(2), "it is longer: 4.4 km (2.7 mi)") || !strings.Contains(words(2), "until you agree") {
		t.Errorf("Wren is not asked to agree: %s\n%s", mails[2].Subject, words(2))
	}
	if !strings.HasPrefix(mails[4].Subject, "Decided: ") || strings.Contains(words(4), "until you agree") {
		t.Errorf("who waits is asked to agree: %s\n%s", mails[4].Subject, words(4))
	}
	if !strings.Contains(words(6), "the leader would like a word with you") ||
		strings.Contains(words(6), sol.Screening.Talk[0]) {
		t.Errorf("want Sol told of the talk, and not why in a mail:\n%s", words(6))
	}
	if strings.Contains(words(0), "asks more of you") {
		t.Errorf("the sweep is asked like a walker:\n%s", words(0))
	}
}

// Everybody reads what is different in figures, old and new, in both systems of units, and why.
func TestAShorterWalkIsToldInFigures(t *testing.T) {
	f := newFake()
	f.planned(t)
	before := hikeData(f)
	f.hike.Turn = hike.Turn{Name: "Notch Junction", Along: 1000}
	stored, err := hike.PlanFor(f.hike, f.trail, "Juniper Vale", f.now)
	if err != nil {
		t.Fatal(err)
	}
	f.decide(hike.GoesShorter)
	f.hike.Decision.Change = "it turns back at Notch Junction"
	whole := f.trail
	f.plan, f.trail = &stored.Plan, f.hike.On(f.trail)
	_, mails := f.announce(t, before)
	f.trail = whole
	words := strings.Join(strings.Fields(mails[2].Text), " ")
	for _, want := range []string{
		"It goes, shorter: it turns back at Notch Junction.", "Why: Heat.",
		"Walk: to Notch Junction and back, no longer the whole trail.",
		"Distance: 2.0 km (1.2 mi), no longer 4.4 km (2.7 mi).",
		"Back: between 07:10 and 07:22, no longer between 07:58 and 08:24.", "Water each: ",
		"or give your place back",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not in the mail:\n%s", want, words)
		}
	}
	if strings.Contains(words, "asks more of you") || strings.Contains(words, "not known") {
		t.Errorf("the mail says too much:\n%s", words)
	}
}

func TestAnOfferIsNotAskedToAgreeToTheSameTrail(t *testing.T) {
	f := newFake()
	f.places[0].State = signup.Offered
	f.decide(hike.Goes)
	if _, mails := f.announce(t, hikeData(f)); !strings.HasPrefix(mails[2].Subject, "Decided: ") {
		t.Errorf("subject %q, want a decision to read", mails[2].Subject)
	}
}

func TestACalledOffHikeSaysWhyAndCancelsTheEntry(t *testing.T) {
	f := newFake()
	f.hike.State = hike.CalledOff
	f.decide(hike.DoesNotGo)
	_, mails := f.announce(t, hikeData(f))
	text := strings.Join(strings.Fields(mails[2].Text), " ")
	if !strings.HasPrefix(mails[2].Subject, "Called off: ") || !strings.Contains(text, "Why: Heat.") {
		t.Errorf("%s\n%s", mails[2].Subject, text)
	}
}

func TestNoReminderWhereThereIsNoTime(t *testing.T) {
	f := newFake()
	f.now = f.hike.Meet.Add(-time.Minute)
	f.decide(hike.Goes)
	a, mails := f.announce(t, hikeData(f))
	if len(mails) != 3 || a.To[0].Reminder != "" {
		t.Errorf("%d mails, reminder %q; want a letter each", len(mails), a.To[0].Reminder)
	}
}
