package main

import (
	"context"
	"crypto/rand"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
)

// The words of the card of these tests: what its line says, and what lies sealed behind.
const (
	cardLine   = "If pale: sugar from the lid, then call."
	cardSealed = "quartz-lantern disease"
	cardReason = "She is confused; what does she take?"
)

// carded is a lookout with a hike that is out and a walker who wrote a medical card.
type carded struct {
	*lookout
	pages  program
	clock  *settable
	h      hike.Hike
	person string // whose card it is
	place  string // the path of their own page
}

// newCarded has the walk half an hour under way.
func newCarded(t testing.TB) carded {
	t.Helper()
	c := carded{lookout: newLookout(t), clock: &settable{now: time.Now()}}
	for _, a := range []struct {
		name, email string
		role        account.Role
	}{{"Oren Vale", "oncall1@example.org", account.OnCall}, {"Teo Marsh", "safety@example.org", account.Safety},
		{"Ines Calder", "elsewhere@example.org", account.Leader}, {"Rosa Lind", "trainer@example.org", account.Trainer}} {
		c.account(a.name, a.email, "", a.role)
	}
	for _, mail := range []string{coordinatorMail, "leader1@example.org", "leader2@example.org", "leader3@example.org",
		"oncall1@example.org", "safety@example.org", "elsewhere@example.org", "trainer@example.org"} {
		c.letIn(mail)
	}
	c.h = c.post(1, time.Now().Add(-30*time.Minute).Truncate(time.Minute))
	c.pages = c.site(c.clock.get)
	c.person, c.place = c.walker(t)
	c.depart(c.h, c.h.Start)
	return c
}

// walker signs up somebody who writes their card through their own page.
func (c carded) walker(t testing.TB) (person, place string) {
	t.Helper()
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	asked := c.h.Start.Add(-48 * time.Hour)
	s, err := c.db.SignUp(context.Background(), signup.SignUp{ID: uuid.NewString(), Hike: c.h.ID, Name: "Amaya Reyes", Email: "amaya@example.org",
		Mobile: "602-555-0131", EmergencyName: "Teo Reyes", EmergencyPhone: "480-555-0171", LongestWalk: "9 km, fine", Water: 4, Acknowledged: true,
		Asked: asked, Link: hash[:]}, asked)
	if err != nil {
		t.Fatal(err)
	}
	place = "/place/" + secret.Reveal()
	res, err := client(t).PostForm(c.pages.base+place+"/card", url.Values{"action": {cardLine}, "conditions": {cardSealed}, "born": {"1961-04-30"}})
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if res.StatusCode != http.StatusSeeOther {
		t.Fatalf("write the card: status %d", res.StatusCode)
	}
	return s.ID, place
}

// card is the path of the card for those who have signed in.
func (c carded) card() string { return hikePathOf(c.h) + "/cards/" + c.person }

// sends posts a form and returns what the answer says.
func (c carded) sends(t testing.TB, who *http.Client, path string, form url.Values) (status int, says string) {
	t.Helper()
	res, err := who.PostForm(c.pages.base+path, form)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, string(body)
}

// openings is the log, the newest first, and how many mails told of them.
func (c carded) openings(t testing.TB) (log []card.Opening, told []message.Mail) {
	t.Helper()
	ctx := context.Background()
	log, err := c.db.Openings(ctx, 100)
	if err != nil {
		t.Fatal(err)
	}
	mails, err := c.db.Outbox().Recent(ctx, 100)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range mails {
		if strings.Contains(m.Key, "card opened") {
			told = append(told, m)
		}
	}
	return log, told
}

func TestCardOpensWithAReasonAndIsTold(t *testing.T) {
	c := newCarded(t)
	leader := c.pages.signIn(t, "leader1@example.org")
	if says := mustAnswer(t, leader, c.pages.base+hikePathOf(c.h)+"/roll", http.StatusOK); !strings.Contains(says, cardLine) || !strings.Contains(says, c.card()) || strings.Contains(says, cardSealed) {
		t.Error("the leader's roll lacks the action line or the way to the card, or shows the card")
	}
	if says := mustAnswer(t, leader, c.pages.base+c.card(), http.StatusOK); !strings.Contains(says, cardLine) || strings.Contains(says, cardSealed) {
		t.Error("the question for a reason lacks the action line, or shows the card")
	}
	for _, reason := range []string{"", "   ", "because", strings.Repeat("long ", 120)} {
		status, says := c.sends(t, leader, c.card(), url.Values{"reason": {reason}})
		if status != http.StatusUnprocessableEntity || strings.Contains(says, cardSealed) || !strings.Contains(says, `aria-invalid="true"`) {
			t.Errorf("reason %.10q: status %d, or the card is shown, or no fault at the field", reason, status)
		}
	}
	if log, told := c.openings(t); len(log) != 0 || len(told) != 0 {
		t.Fatalf("%d openings and %d mails before any opening", len(log), len(told))
	}
	status, says := c.sends(t, leader, c.card(), url.Values{"reason": {cardReason}})
	for _, want := range []string{cardLine, cardSealed, "1961-04-30", "480-555-0171", cardReason} {
		if status != http.StatusOK || !strings.Contains(says, want) {
			t.Errorf("status %d; the opened card does not say %q", status, want)
		}
	}
	log, told := c.openings(t)
	if len(log) != 1 || log[0].By != "Leader 1" || log[0].Ground != card.AsLeader || log[0].Reason != cardReason || log[0].Of.Person != c.person {
		t.Errorf("log %+v", log)
	}
	if len(told) != 1 || told[0].To != "amaya@example.org" || !strings.Contains(told[0].Text, "Leader 1") {
		t.Fatalf("told %+v, want one mail that names who opened it", told)
	}
	for _, kept := range []string{cardReason, cardSealed, cardLine} {
		if strings.Contains(told[0].Text, kept) {
			t.Errorf("the mail says %q", kept)
		}
	}
	own := mustAnswer(t, client(t), c.pages.base+c.place, http.StatusOK)
	if !strings.Contains(own, cardReason) || !strings.Contains(own, "Leader 1") || strings.Contains(own, cardSealed) {
		t.Error("the person's page lacks the opening, or shows what is sealed")
	}
}

// Whoever is not entitled is refused the question and the answer alike, and nothing is kept.
func TestCardStaysClosed(t *testing.T) {
	c := newCarded(t)
	during, dayBefore := c.clock.get(), c.h.Meet.Add(-25*time.Hour)
	for _, tt := range []struct {
		name, email string
		at          time.Time
		want        int
	}{
		{"to anybody", "", during, http.StatusSeeOther}, // to sign in
		{"to the sweep", "leader2@example.org", during, http.StatusForbidden},
		{"to an assistant", "leader3@example.org", during, http.StatusForbidden},
		{"to a leader of another hike", "elsewhere@example.org", during, http.StatusForbidden},
		{"to the coordinator", coordinatorMail, during, http.StatusForbidden},
		{"to the trainer", "trainer@example.org", during, http.StatusForbidden},
		{"to on-call without an alarm", "oncall1@example.org", during, http.StatusForbidden},
		{"to the safety officer without an incident", "safety@example.org", during, http.StatusForbidden},
		{"to the leader the day before", "leader1@example.org", dayBefore, http.StatusForbidden},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c.clock.set(during)
			who := c.pages.signIn(t, tt.email)
			c.clock.set(tt.at)
			for _, method := range []string{http.MethodGet, http.MethodPost} {
				status, says := http.StatusOK, ""
				if method == http.MethodPost {
					status, says = c.sends(t, who, c.card(), url.Values{"reason": {cardReason}})
				} else {
					status, _, says = answers(t, who, c.pages.base+c.card())
				}
				if status != tt.want || strings.Contains(says, cardSealed) || strings.Contains(says, cardLine) {
					t.Errorf("%s: status %d, want %d without a word of the card", method, status, tt.want)
				}
			}
		})
	}
	if log, told := c.openings(t); len(log) != 0 || len(told) != 0 {
		t.Errorf("%d openings kept and %d mails written", len(log), len(told))
	}
}

func TestCardThatIsNotThere(t *testing.T) {
	c := newCarded(t)
	leader := c.pages.signIn(t, "leader1@example.org")
	for name, person := range map[string]string{"nobody": uuid.NewString(), "staff without one": c.h.Staff[0].Person, "no id": "x"} {
		if status, _, _ := answers(t, leader, c.pages.base+hikePathOf(c.h)+"/cards/"+person); status != http.StatusNotFound {
			t.Errorf("%s: status %d, want 404", name, status)
		}
	}
	if got := post(t, client(t), c.pages.base+c.place+"/card/remove", nil); got != http.StatusSeeOther {
		t.Fatalf("delete one's card: status %d", got)
	}
	if status, _, _ := answers(t, leader, c.pages.base+c.card()); status != http.StatusNotFound {
		t.Errorf("a deleted card: status %d, want 404", status)
	}
}

// Sweep and assistant read what to do and find no way to more; the coordinator does neither.
func TestActionLineOnTheRoll(t *testing.T) {
	c := newCarded(t)
	for email, reads := range map[string]bool{"leader2@example.org": true, "leader3@example.org": true, coordinatorMail: false} {
		says := mustAnswer(t, c.pages.signIn(t, email), c.pages.base+hikePathOf(c.h)+"/roll", http.StatusOK)
		if strings.Contains(says, cardLine) != reads || strings.Contains(says, c.card()) || strings.Contains(says, cardSealed) {
			t.Errorf("%s: reads the line %v, want %v, and never a way to the card", email, !reads, reads)
		}
	}
}

func TestOnCallOpensCardsInAnAlarm(t *testing.T) {
	c := newCarded(t)
	account, linked, other := c.pages.signIn(t, "oncall1@example.org"), client(t), c.pages.signIn(t, "elsewhere@example.org")
	c.clock.set(c.h.Start.Add(latest + 5*time.Minute))
	c.record(c.h, roll.KindReported, c.clock.get(), func(e *roll.Event) { e.Note = "no answer yet" })
	if err := c.watcher(c.clock.get).Watch(context.Background()); err != nil {
		t.Fatal(err)
	}
	link := c.alarmLink(t, "oncall1@example.org")
	for name, tt := range map[string]struct {
		who        *http.Client
		watch, way string
		by         string
	}{"signed in": {account, hikePathOf(c.h) + "/watch", c.card(), "Oren Vale"},
		"by the link of the alarm": {linked, link, link + "/cards/" + c.person, "On-call 01"}} {
		t.Run(name, func(t *testing.T) {
			if says := mustAnswer(t, tt.who, c.pages.base+tt.watch, http.StatusOK); !strings.Contains(says, tt.way) {
				t.Error("the watch leads to no card")
			}
			if status, _ := c.sends(t, tt.who, tt.way, nil); status != http.StatusUnprocessableEntity {
				t.Errorf("without a reason: status %d, want 422", status)
			}
			if status, says := c.sends(t, tt.who, tt.way, url.Values{"reason": {cardReason}}); status != http.StatusOK || !strings.Contains(says, cardSealed) {
				t.Errorf("with a reason: status %d, or the card is not shown", status)
			}
			log, _ := c.openings(t)
			if !slices.ContainsFunc(log, func(o card.Opening) bool { return o.By == tt.by && o.Ground == card.AsOnCall }) {
				t.Errorf("log %+v, want %s", log, tt.by)
			}
		})
	}
	if status, _, _ := answers(t, other, c.pages.base+c.card()); status != http.StatusForbidden {
		t.Errorf("a leader of another hike in the alarm: status %d, want 403", status)
	}
	if got := post(t, other, c.pages.base+"/board/1/acknowledge", nil); got != http.StatusSeeOther {
		t.Fatalf("taking the alarm: status %d", got)
	}
	if status, _, _ := answers(t, other, c.pages.base+c.card()); status != http.StatusOK {
		t.Errorf("whoever took the alarm: status %d, want 200", status)
	}
}

func TestSafetyOfficerOpensCardsAfterAnIncident(t *testing.T) {
	c := newCarded(t)
	safety, coordinator := c.pages.signIn(t, "safety@example.org"), c.pages.signIn(t, coordinatorMail)
	if says := mustAnswer(t, safety, c.pages.base+"/cards", http.StatusOK); !strings.Contains(says, "No card has been opened") || strings.Contains(says, c.card()) {
		t.Error("before anything happened: the log is not empty, or leads to a card")
	}
	c.record(c.h, roll.KindReported, c.clock.get(), func(e *roll.Event) { e.Trouble, e.Note = true, "fell on the slab" })
	if says := mustAnswer(t, safety, c.pages.base+"/cards", http.StatusOK); !strings.Contains(says, c.card()) {
		t.Error("after help was asked for: no way to the card")
	}
	if status, says := c.sends(t, safety, c.card(), url.Values{"reason": {cardReason}}); status != http.StatusOK || !strings.Contains(says, cardSealed) {
		t.Errorf("status %d, or the card is not shown", status)
	}
	for name, tt := range map[string]struct {
		who     *http.Client
		reasons bool
	}{"safety officer": {safety, true}, "coordinator": {coordinator, false}} {
		says := mustAnswer(t, tt.who, c.pages.base+"/cards", http.StatusOK)
		if !strings.Contains(says, "Amaya Reyes") || !strings.Contains(says, "Teo Marsh") || strings.Contains(says, cardReason) != tt.reasons || strings.Contains(says, cardSealed) {
			t.Errorf("%s: the log lacks that it was opened and by whom, or shows more than it may", name)
		}
	}
}

// A form with a fault keeps what was typed and stores nothing; a blank one takes the card away.
func TestOwnCardForm(t *testing.T) {
	c := newCarded(t)
	own := client(t)
	status, says := c.sends(t, own, c.place+"/card", url.Values{"action": {"changed-line"}, "born": {"April 1961"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(says, "changed-line") || !strings.Contains(says, "such as 1961-04-30") {
		t.Errorf("status %d, want 422 with what was typed and what is wrong", status)
	}
	if says := mustAnswer(t, own, c.pages.base+c.place+"/card", http.StatusOK); !strings.Contains(says, cardSealed) || strings.Contains(says, "changed-line") {
		t.Error("the refused form changed the card")
	}
	if status, _ := c.sends(t, own, c.place+"/card", url.Values{"action": {" "}}); status != http.StatusSeeOther {
		t.Errorf("a blank card: status %d", status)
	}
	if says := mustAnswer(t, own, c.pages.base+c.place, http.StatusOK); !strings.Contains(says, "You have none, and need none") {
		t.Error("the card is still there after a blank one")
	}
	wrong := c.place[:len(c.place)-1] + string('a'+(c.place[len(c.place)-1]-'a'+1)%2)
	mustAnswer(t, own, c.pages.base+wrong+"/card", http.StatusNotFound)
}

// Without its key the site says so on each page that would show a card, keeps nothing that
// it cannot seal, and has everything again once the key is back.
func TestPagesWithoutTheKey(t *testing.T) {
	c := newCarded(t)
	leader, coordinator, own := c.pages.signIn(t, "leader1@example.org"), c.pages.signIn(t, coordinatorMail), client(t)
	c.db.UseCardKey(card.Keyring{})
	for path, tt := range map[string]struct {
		who  *http.Client
		want string
	}{
		hikePathOf(c.h) + "/roll": {leader, "cannot be read: its key is missing here"},
		"/cards":                  {coordinator, "The key of the medical cards is missing"},
		"/desk":                   {leader, "The key of the medical cards is missing"},
		c.place + "/card":         {own, "Nothing can be sealed now"},
	} {
		if says := mustAnswer(t, tt.who, c.pages.base+path, http.StatusOK); !strings.Contains(says, tt.want) || strings.Contains(says, cardLine) {
			t.Errorf("%s does not say %q", path, tt.want)
		}
	}
	if status, says := c.sends(t, leader, c.card(), url.Values{"reason": {cardReason}}); status != http.StatusOK || !strings.Contains(says, "it cannot be read") || !strings.Contains(says, "Nothing was opened") {
		t.Errorf("opening: status %d, or not said that it cannot be read", status)
	}
	if status, _ := c.sends(t, own, c.place+"/card", url.Values{"action": {"overwritten"}}); status != http.StatusConflict {
		t.Errorf("writing: status %d, want 409", status)
	}
	if err := withCardKey(context.Background(), c.db); err != nil {
		t.Fatal(err)
	}
	if says := mustAnswer(t, own, c.pages.base+c.place+"/card", http.StatusOK); !strings.Contains(says, cardSealed) || !strings.Contains(says, cardLine) {
		t.Error("the card is not whole again with its key")
	}
	if log, told := c.openings(t); len(log) != 0 || len(told) != 0 {
		t.Errorf("%d openings and %d mails of a card that could not be opened", len(log), len(told))
	}
}

// What a person asks for at sign-up becomes their action line. Without the key it is refused
// at its field, and nothing of the form is stored or lost.
func TestNeedsAtSignUp(t *testing.T) {
	l := newLookout(t)
	h := l.post(1, time.Now().Add(48*time.Hour))
	p := staffed{l.site(time.Now), l.db}
	c := client(t)
	form := signUpForm(1)
	form.Set("seal", p.openForm(t, c))
	form.Set("needs", "Speak to me from the left.")
	send := func() (status int, says string) {
		t.Helper()
		res, err := c.PostForm(p.base+hikePathOf(h)+"/sign-up", form)
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		body, err := io.ReadAll(res.Body)
		if err != nil {
			t.Fatal(err)
		}
		return res.StatusCode, string(body)
	}
	l.db.UseCardKey(card.Keyring{})
	status, says := send()
	if status != http.StatusUnprocessableEntity || !strings.Contains(says, "The key that seals medical words is missing here") || !strings.Contains(says, "Speak to me from the left.") {
		t.Errorf("without the key: status %d, want 422 with what is wrong and what was typed", status)
	}
	if list, err := l.db.SignUps(context.Background(), h.ID); err != nil || len(list) != 0 {
		t.Fatalf("%d stored, %v", len(list), err)
	}
	if err := withCardKey(context.Background(), l.db); err != nil {
		t.Fatal(err)
	}
	if status, _ := send(); status != http.StatusSeeOther {
		t.Fatalf("with the key: status %d", status)
	}
	list, err := l.db.SignUps(context.Background(), h.ID)
	if err != nil || len(list) != 1 || !list[0].Carded || list[0].Needs != "" {
		t.Fatalf("stored %+v, %v", list, err)
	}
	lines, err := l.db.ActionLines(context.Background(), h.ID)
	if err != nil || lines[list[0].ID].Text != "Speak to me from the left." {
		t.Errorf("action lines %v, %v", lines, err)
	}
}
