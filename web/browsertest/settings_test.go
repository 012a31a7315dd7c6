package browsertest

import (
	"context"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

func TestRulesOfTheHouse(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Staffed, func(_ *testing.T, _ *sitetest.Site, v *chromium.Tab) {
		const form = "section:has(#people-and-staff) form"
		signIn(v, sitetest.Coordinator)
		v.Open("/house")
		v.Press("[formaction='/house/rules/ratio/caution']")
		v.Sees("Saved: 1 change")
		v.Fill(form, map[string]string{"ratio": "12"})
		v.Press(form + " button:not([formaction])")
		v.Sees("Write down why")
	})
}

func TestOwnData(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	_, place := sitetest.AddSignUp(t, s.DB, sitetest.Walker("Amaya Reyes", "amaya@example.org"))
	onScreens(t, s.URL, func(_ *testing.T, v *chromium.Tab) {
		v.Open(place + "/data")
		v.Sees("What is kept of you")
	})
}

func TestRetentionAndLog(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	sitetest.AddSignUp(t, s.DB, sitetest.Walker("Amaya Reyes", "amaya@example.org"))
	s.CloseLongAgo(t, 1)
	if err := s.DB.HoldHike(context.Background(), 1, "somebody was hurt", "Juniper Vale", time.Now()); err != nil {
		t.Fatal(err)
	}
	onScreens(t, s.URL, func(_ *testing.T, v *chromium.Tab) {
		v.SignIn(sitetest.Coordinator)
		v.Open("/retention")
		v.Sees("What goes when")
		v.Open("/log")
	})
}
