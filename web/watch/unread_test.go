package watch_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
)

// Near the day the board says who has not read a decision, when they come to the trailhead,
// and who stands there for them.
func TestBoardSaysWhoMayNotKnow(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Ready, time.Now)
	leader := s.SignIn(t, sitetest.Leader)
	s.ChangeHike(t, 1, func(h *hike.Hike) {
		h.Start = time.Now().Add(10 * time.Hour).In(h.Start.Location())
		h.Meet = h.Start.Add(-30 * time.Minute)
	})
	leader.Get("/board").Want(http.StatusOK).Hides("Who may not know")
	leader.Post("/hikes/1/call-off", url.Values{"reason": {"Storm upstream."}}).Want(http.StatusSeeOther)
	at := "at " + s.Hike(t, 1).Meet.Format("15:04")
	board := leader.Get("/board").Want(http.StatusOK)
	board.Shows("Who may not know", "3 people have not", "Somebody stands", at, "Wren Abara")

	leader.Post("/hikes/1/stands", url.Values{"stands": {"Ines Calder"}}).Want(http.StatusSeeOther)
	leader.Get("/desk").Shows("somebody stands at the trailhead unless all are reached")
	for _, path := range []string{"/board", "/hikes/1/manage"} {
		leader.Get(path).Shows("Ines Calder stands at the trailhead of")
	}
	s.SignIn(t, sitetest.OnCall).Get("/board").Shows("3 people have not").Hides("Wren Abara")
}
