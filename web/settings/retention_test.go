package settings_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
)

func TestHoldIsSetAndLiftedWithAReason(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	s.CloseLongAgo(t, 1)
	v := s.SignIn(t, sitetest.Safety)
	v.Get("/retention").Want(http.StatusOK).Shows("Dry Fork at dawn")

	hold := url.Values{"hike": {"1"}, "because": {" "}}
	refused := v.Post("/retention/hold", hold).Want(http.StatusUnprocessableEntity)
	refused.Shows("Write why nothing of this hike may be deleted")
	hold.Set("because", "a claim of May")
	v.Post("/retention/hold", hold).Want(http.StatusSeeOther)
	v.Get("/retention").Want(http.StatusOK).Shows("a claim of May", "Teo Marsh")

	lift := url.Values{"hike": {"1"}, "lift": {""}}
	v.Post("/retention/lift", lift).Want(http.StatusUnprocessableEntity).Shows("Write why this hold may end")
	lift.Set("lift", "settled in June")
	v.Post("/retention/lift", lift).Want(http.StatusSeeOther)
	v.Get("/log").Want(http.StatusOK).Shows("hold set", "hold lifted", "settled in June", "roles")
}
