package signups_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
)

func TestLostLinkIsReplacedByMail(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v := o.Visitor(t)
	_, old := sitetest.AddSignUp(t, o.DB, sitetest.Walker("Amaya Reyes", "Amaya@example.org"))
	v.Get(old).Want(http.StatusOK)
	ask := func(email string) string {
		return v.Post("/lost-link", url.Values{"email": {email}}).Want(http.StatusOK).Body
	}
	if unknown, known := ask("nobody@example.org"), ask("amaya@example.org"); unknown != known {
		t.Errorf("the page tells a known address from an unknown one:\n%s\n%s", known, unknown)
	}
	link := sitetest.LinkIn(t, o.AwaitMail(t, "new-link/", ""), "place")
	v.Get(old).Want(http.StatusNotFound)
	v.Get(link).Want(http.StatusOK)
}

func TestPlaceLinkExpiresWithTheData(t *testing.T) {
	t.Parallel()
	const day = 24 * time.Hour
	o := serve(t, sitetest.Staffed)
	_, place := sitetest.AddSignUp(t, o.DB, sitetest.Walker("Amaya Reyes", "amaya@example.org"))
	for _, tt := range []struct {
		name string
		ago  time.Duration
		want int
	}{
		{"89 days after the hike it opens", 89 * day, http.StatusOK},
		{"91 days after it has expired", 91 * day, http.StatusGone},
	} {
		t.Run(tt.name, func(t *testing.T) {
			o.ChangeHike(t, 1, func(h *hike.Hike) { h.Start = time.Now().Add(-tt.ago) })
			o.Visitor(t).Get(place).Want(tt.want)
		})
	}
}
