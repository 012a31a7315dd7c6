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

// A hike without anybody on call who can be reached is posted only with a reason, which stays in sight.
func TestHikeIsPostedWithoutOnCallForAReason(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Ready, time.Now)
	s.ChangeHike(t, 1, func(h *hike.Hike) {
		h.State, h.OnCall = hike.Draft, team.Contact{Name: "Aunt May", Phone: "555 0101"}
	})
	v := s.SignIn(t, sitetest.Leader)
	v.Get("/hikes/1/manage").Want(http.StatusOK).Shows("No alarm can reach Aunt May", "Go without on-call")
	if v.Post("/hikes/1/post", nil); s.Hike(t, 1).State != hike.Draft {
		t.Fatal("posted without anybody on call and without a reason")
	}
	v.Post("/hikes/1/on-call-override", url.Values{"reason": {" "}}).Want(http.StatusUnprocessableEntity)
	v.Post("/hikes/1/on-call-override", url.Values{"reason": {"her cabin has a radio"}}).Want(http.StatusSeeOther)
	v.Post("/hikes/1/post", nil).Want(http.StatusSeeOther)
	if got := s.Hike(t, 1).State; got != hike.Posted {
		t.Fatalf("the hike is %s, want posted", got)
	}
	for _, path := range []string{"/desk", "/hikes/1/manage", "/hikes/1/trip-sheet", "/hikes/1/roll",
		"/hikes/1/watch"} {
		v.Get(path).Want(http.StatusOK).Shows("No on-call contact can be reached. Approved anyway by Ash Moreno, ",
			"her cabin has a radio")
	}
	s.ChangeHike(t, 1, func(h *hike.Hike) { h.OnCall.Email = "may@example.org" })
	v.Get("/desk").Want(http.StatusOK).Hides("No on-call contact can be reached")
}
