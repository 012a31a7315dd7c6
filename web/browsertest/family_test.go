package browsertest

import (
	"testing"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
	"saltbush/internal/team"
)

// A leader names whom on-call phones; a wrong number is said at the field, and what was typed stays.
func TestFamilyContact(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Staffed, func(t *testing.T, _ *sitetest.Site, v *chromium.Tab) {
		const form = "form[action='/account/family']"
		v.SignIn(sitetest.Leader)
		v.Open("/account")
		v.Fill(form, map[string]string{"family_name": "Teo Moreno", "family_phone": "12"})
		v.Press(form + " button")
		if got := v.Ask(`document.querySelector("[name=family_name]").value`); got != "Teo Moreno" {
			t.Errorf("after a wrong number the name is %q", got)
		}
		v.Fill(form, map[string]string{"family_phone": "+1 602 555 0142"})
		v.Press(form + " button")
		v.Sees("On-call sees it on the watch page of your hikes")
	})
}

// A hike goes without anybody on call who can be reached only for a written reason.
func TestGoWithoutOnCall(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Staffed, func(_ *testing.T, s *sitetest.Site, v *chromium.Tab) {
		const form = "form[action$='/on-call-override']"
		s.ChangeHike(v.T, 1, func(h *hike.Hike) { h.OnCall = team.Contact{Name: "Aunt May", Phone: "555 0101"} })
		v.SignIn(sitetest.Leader)
		v.Open("/hikes/1/manage")
		v.Sees("No on-call contact can be reached")
		v.Press(form + " button")
		v.Sees("Write why the hike goes without an on-call contact who can be reached.")
		v.Fill(form, map[string]string{"reason": "The road crew has a radio and waits at the gate."})
		v.Press(form + " button")
		v.Sees("The road crew has a radio")
	})
}
