package settings_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
)

// A coordinator moves a rule toward caution with one tap, and toward risk with a reason.
func TestRulesOfTheHouseChange(t *testing.T) {
	t.Parallel()
	v := sitetest.Pages(t, sitetest.Staffed, time.Now).SignIn(t, sitetest.Coordinator)
	v.Post("/house/rules/ratio/caution", nil).Want(http.StatusSeeOther)
	risk := url.Values{"group": {"people-and-staff"}, "ratio": {"12"}}
	v.Post("/house/rules", risk).Want(http.StatusUnprocessableEntity).Shows("Write down why", `value="12"`)
	risk.Set("reason", "Easy loops.")
	v.Post("/house/rules", risk).Want(http.StatusSeeOther)
	v.Post("/house/rules", url.Values{"group": {"heat"}, "cancel_from": {"warm"}}).Want(http.StatusUnprocessableEntity)
	page := v.Get("/house").Want(http.StatusOK)
	page.Shows("8 people", "7 people", "12 people", "Easy loops.", "Juniper Vale", "not law")
}
