package hikes_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
)

// An alarm is the next thing to do about a hike, whether its departure was reported or not.
func TestAlarmIsTheNextThingToDo(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	clock := sitetest.NewClock(time.Now().Add(-24 * time.Hour))
	h := l.Post(1, clock.Now().Add(20*time.Hour).Truncate(time.Minute))
	sitetest.ChangeHike(t, l.DB, h.ID, func(h *hike.Hike) {
		for i := range h.Staff {
			h.Staff[i].Answer = team.AnswerAccepted
		}
	})
	v := l.Pages(clock.Now).SignIn(t, sitetest.Coordinator)
	v.Post("/hikes/1/decide", url.Values{"reason": {"Known way, cool day."}}).Want(http.StatusSeeOther)
	clock.Set(h.Start.Add(-time.Minute))
	v.Get("/desk").Want(http.StatusOK).Shows("Ring who has not read it").Hides("Look at the board")
	clock.Set(h.Start.Add(sitetest.Latest - time.Minute))
	v.Get("/desk").Hides("Look at the board")
	clock.Pass(2 * time.Minute)
	v.Get("/desk").Shows("Look at the board: uncertainty")
	l.Depart(h, h.Start)
	clock.Pass(time.Hour)
	v.Get("/desk").Shows("Look at the board: distress")
}
