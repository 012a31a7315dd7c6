package sitetest

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
)

// The medical card of Carded: what its line says, and what lies sealed behind it.
const (
	CardLine   = "If pale: sugar from the lid, then call."
	CardSealed = "quartz-lantern disease"
)

// Carded is a lookout with a hike that set out half an hour ago, and with Amaya Reyes on it,
// who wrote a medical card. Everybody may sign in: besides the staff of the hike there are
// oncall1@example.org (Oren Vale), the safety officer, the trainer, and another leader.
type Carded struct {
	*Lookout
	Site   *Site
	Clock  *Clock
	Hike   hike.Hike
	Person string // whose card it is
	Place  string // the path of their private page
}

// NewCarded serves the pages of one by a clock.
func NewCarded(t testing.TB) Carded {
	t.Helper()
	c := Carded{Lookout: NewLookout(t), Clock: NewClock(time.Now())}
	c.Account("Oren Vale", "oncall1@example.org", "", account.OnCall)
	c.Account("Teo Marsh", Safety, "", account.Safety)
	c.Account("Ines Calder", OtherLeader, "", account.Leader)
	c.Account("Rosa Lind", Trainer, "", account.Trainer)
	c.Hike = c.Post(1, time.Now().Add(-30*time.Minute).Truncate(time.Minute))
	c.Site = c.Pages(c.Clock.Now)
	c.writeCard(t)
	c.Depart(c.Hike, c.Hike.Start)
	return c
}

// writeCard signs up somebody who writes their card through their own page.
func (c *Carded) writeCard(t testing.TB) {
	t.Helper()
	s := Walker("Amaya Reyes", "amaya@example.org")
	s.Mobile, s.EmergencyPhone = "602-555-0131", "480-555-0171"
	s.Asked = c.Hike.Start.Add(-48 * time.Hour)
	s, c.Place = AddSignUp(t, c.DB, s)
	c.Person = s.ID
	form := url.Values{"action": {CardLine}, "conditions": {CardSealed}, "born": {"1961-04-30"}}
	c.Site.Visitor(t).Post(c.Place+"/card", form).Want(http.StatusSeeOther)
}

// Card is the path of the card for those who have signed in.
func (c Carded) Card() string { return fmt.Sprintf("/hikes/%d/cards/%s", c.Hike.ID, c.Person) }

// Openings are the log of opened cards, the newest first, and the mails that tell of them.
func (c Carded) Openings(t testing.TB) (log []card.Opening, mails []message.Mail) {
	t.Helper()
	log, err := c.DB.Openings(context.Background(), 100)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range c.Site.Mails(t) {
		if strings.Contains(m.Key, "card opened") {
			mails = append(mails, m)
		}
	}
	return log, mails
}
