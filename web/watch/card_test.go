package watch_test

import (
	"context"
	"net/http"
	"net/url"
	"saltbush/internal/party"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/card"
	"saltbush/internal/site/sitetest"
)

const cardReason = "She is confused; what does she take?"

// visitor is somebody with an account, or anybody where the address is empty.
func visitor(t testing.TB, s *sitetest.Site, email string) *sitetest.Visitor {
	t.Helper()
	if email == "" {
		return s.Visitor(t)
	}
	return s.SignIn(t, email)
}

// openCard asks for a card at its path with the good reason.
func openCard(v *sitetest.Visitor, path string) sitetest.Page {
	return v.Post(path, url.Values{"reason": {cardReason}})
}

func wantNoOpenings(t *testing.T, c sitetest.Carded) {
	t.Helper()
	if log, mails := c.Openings(t); len(log) != 0 || len(mails) != 0 {
		t.Errorf("%d openings are logged and %d mailed, want none", len(log), len(mails))
	}
}

func TestCardOpensWithAReasonAndItsOwnerIsTold(t *testing.T) {
	t.Parallel()
	c := sitetest.NewCarded(t)
	leader := c.Site.SignIn(t, "leader1@example.org")
	leader.Get(c.Card()).Want(http.StatusOK).Shows(sitetest.CardLine).Hides(sitetest.CardSealed)
	for _, reason := range []string{"", "   ", "because", strings.Repeat("long ", 120)} {
		page := leader.Post(c.Card(), url.Values{"reason": {reason}}).Want(http.StatusUnprocessableEntity)
		page.Shows(`aria-invalid="true"`).Hides(sitetest.CardSealed)
	}
	wantNoOpenings(t, c)
	opened := openCard(leader, c.Card()).Want(http.StatusOK)
	opened.Shows(sitetest.CardLine, sitetest.CardSealed, "1961-04-30", "480-555-0171", cardReason)

	log, mails := c.Openings(t)
	if len(log) != 1 || len(mails) != 1 {
		t.Fatalf("%d openings are logged and %d mailed, want 1 and 1", len(log), len(mails))
	}
	got := log[0]
	if got.By != "Leader 1" || got.Ground != card.AsLeader || got.Reason != cardReason || got.Of.Person != c.Person {
		t.Errorf("logged %+v, want Leader 1 as the leader with the reason", got)
	}
	if m := mails[0]; m.To != "amaya@example.org" || !strings.Contains(m.Text, "Leader 1") {
		t.Errorf("mail to %s says %q, want one to the owner that names Leader 1", m.To, m.Text)
	}
	for _, secret := range []string{cardReason, sitetest.CardSealed, sitetest.CardLine} {
		if strings.Contains(mails[0].Text, secret) {
			t.Errorf("the mail says %q", secret)
		}
	}
	own := c.Site.Visitor(t).Get(c.Place).Want(http.StatusOK)
	own.Shows(cardReason, "Leader 1").Hides(sitetest.CardSealed)
}

// People who may not open a card are refused the question and the answer alike, and nothing
// is logged.
func TestCardStaysClosed(t *testing.T) {
	t.Parallel()
	c := sitetest.NewCarded(t)
	during, dayBefore := c.Clock.Now(), c.Hike.Meet.Add(-25*time.Hour)
	for _, tt := range []struct {
		name, email string
		at          time.Time
		want        int
	}{
		{"to anybody", "", during, http.StatusSeeOther}, // to sign in
		{"to the sweep", "leader2@example.org", during, http.StatusForbidden},
		{"to an assistant", "leader3@example.org", during, http.StatusForbidden},
		{"to a leader of another hike", sitetest.OtherLeader, during, http.StatusForbidden},
		{"to the coordinator", sitetest.Coordinator, during, http.StatusForbidden},
		{"to the trainer", sitetest.Trainer, during, http.StatusForbidden},
		{"to on-call without an alarm", "oncall1@example.org", during, http.StatusForbidden},
		{"to the safety officer without an incident", sitetest.Safety, during, http.StatusForbidden},
		{"to the leader the day before", "leader1@example.org", dayBefore, http.StatusForbidden},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c.Clock.Set(during)
			v := visitor(t, c.Site, tt.email)
			c.Clock.Set(tt.at)
			v.Get(c.Card()).Want(tt.want).Hides(sitetest.CardSealed, sitetest.CardLine)
			openCard(v, c.Card()).Want(tt.want).Hides(sitetest.CardSealed, sitetest.CardLine)
		})
	}
	wantNoOpenings(t, c)
}

func TestMissingCardIsNotFound(t *testing.T) {
	t.Parallel()
	c := sitetest.NewCarded(t)
	leader := c.Site.SignIn(t, "leader1@example.org")
	cards, _ := strings.CutSuffix(c.Card(), c.Person)
	for _, person := range []string{uuid.NewString(), c.Hike.Staff[0].Person, "x"} {
		leader.Get(cards + person).Want(http.StatusNotFound)
	}
	c.Site.Visitor(t).Post(c.Place+"/card/remove", nil).Want(http.StatusSeeOther)
	leader.Get(c.Card()).Want(http.StatusNotFound)
}

// alarm lets the watch time pass, and has the site send its alarms.
func alarm(t *testing.T, c sitetest.Carded) {
	t.Helper()
	c.Clock.Set(c.Hike.Start.Add(sitetest.Latest + 5*time.Minute))
	c.Record(c.Hike, party.KindReported, c.Clock.Now(), func(e *party.Event) { e.Note = "no answer yet" })
	c.Watch(c.Clock.Now)
}

func TestOnCallOpensCardsInAnAlarm(t *testing.T) {
	t.Parallel()
	c := sitetest.NewCarded(t)
	signedIn, linked := c.Site.SignIn(t, "oncall1@example.org"), c.Site.Visitor(t)
	alarm(t, c)
	link := c.AlarmLink(t, "oncall1@example.org")
	for _, tt := range []struct {
		name         string
		v            *sitetest.Visitor
		watch, card  string
		wantOpenedBy string
	}{
		{"signed in", signedIn, "/hikes/1/watch", c.Card(), "Oren Vale"},
		{"by the link of the alarm", linked, link, link + "/cards/" + c.Person, "On-call 01"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			v := tt.v.In(t)
			v.Get(tt.watch).Want(http.StatusOK).Shows(tt.card)
			v.Post(tt.card, nil).Want(http.StatusUnprocessableEntity)
			openCard(v, tt.card).Want(http.StatusOK).Shows(sitetest.CardSealed)
			log, _ := c.Openings(t)
			if !slices.ContainsFunc(log, func(o card.Opening) bool {
				return o.By == tt.wantOpenedBy && o.Ground == card.AsOnCall
			}) {
				t.Errorf("log %+v, want %s on call", log, tt.wantOpenedBy)
			}
		})
	}
}

func TestOtherLeadersNeitherTakeAlarmsNorOpenCards(t *testing.T) {
	t.Parallel()
	c := sitetest.NewCarded(t)
	other := c.Site.SignIn(t, sitetest.OtherLeader)
	alarm(t, c)
	other.Get(c.Card()).Want(http.StatusForbidden)
	other.Post("/board/1/acknowledge", nil).Want(http.StatusConflict)
	other.Get(c.Card()).Want(http.StatusForbidden)
	other.Post("/hikes/1/watch/note", url.Values{"note": {"I am near the lot"}}).Want(http.StatusSeeOther)
}

func TestSafetyOfficerOpensCardsAfterAnIncident(t *testing.T) {
	t.Parallel()
	c := sitetest.NewCarded(t)
	safety, coordinator := c.Site.SignIn(t, sitetest.Safety), c.Site.SignIn(t, sitetest.Coordinator)
	safety.Get("/cards").Want(http.StatusOK).Shows("No card has been opened").Hides(c.Card())
	c.Record(c.Hike, party.KindReported, c.Clock.Now(), func(e *party.Event) {
		e.Trouble, e.Note = true, "fell on the slab"
	})
	safety.Get("/cards").Want(http.StatusOK).Shows(c.Card())
	openCard(safety, c.Card()).Want(http.StatusOK).Shows(sitetest.CardSealed)
	log := safety.Get("/cards").Want(http.StatusOK)
	log.Shows("Amaya Reyes", "Teo Marsh", cardReason).Hides(sitetest.CardSealed)
	log = coordinator.Get("/cards").Want(http.StatusOK)
	log.Shows("Amaya Reyes", "Teo Marsh").Hides(cardReason, sitetest.CardSealed)
}

// Without its key the site says so on each page that would show a card, stores nothing that
// it cannot seal, and has everything again once the key is back.
func TestPagesWithoutTheCardKey(t *testing.T) {
	t.Parallel()
	c := sitetest.NewCarded(t)
	leader, own := c.Site.SignIn(t, "leader1@example.org"), c.Site.Visitor(t)
	coordinator := c.Site.SignIn(t, sitetest.Coordinator)
	c.DB.UseCardKey(card.Keyring{})
	for _, tt := range []struct {
		v          *sitetest.Visitor
		path, want string
	}{
		{leader, "/hikes/1/roll", "cannot be read: its key is missing here"},
		{coordinator, "/cards", "The key of the medical cards is missing"},
		{leader, "/desk", "The key of the medical cards is missing"},
		{own, c.Place + "/card", "Nothing can be sealed now"},
	} {
		tt.v.Get(tt.path).Want(http.StatusOK).Shows(tt.want).Hides(sitetest.CardLine)
	}
	openCard(leader, c.Card()).Want(http.StatusOK).Shows("it cannot be read", "Nothing was opened")
	own.Post(c.Place+"/card", url.Values{"action": {"overwritten"}}).Want(http.StatusConflict)
	if err := c.DB.TakeCardKey(context.Background(), sitetest.CardKey(), false, time.Now()); err != nil {
		t.Fatal(err)
	}
	own.Get(c.Place+"/card").Want(http.StatusOK).Shows(sitetest.CardSealed, sitetest.CardLine)
	wantNoOpenings(t, c)
}
