package browsertest

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

func TestDecisionPages(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Ready, time.Now)
	shorter := url.Values{"outcome": {"shorter"}, "turn": {"the fork"}, "turn_distance": {"0.9"}, "turn_unit": {"km"},
		"reason": {"Known way, cool day."}}
	s.SignIn(t, sitetest.Leader).Post("/hikes/1/decide", shorter).Want(http.StatusSeeOther)
	link := announcement(t, s.Mails(t), "wren@example.org")
	onScreens(t, s.URL, func(_ *testing.T, v *chromium.Tab) {
		v.Open(link)
		v.SignIn(sitetest.Leader)
		v.Open("/hikes/1/manage")
		v.Evaluate(`document.querySelectorAll("details.More").forEach(e => e.open = true)`)
		v.Look()
		v.Open("/trails/1")
		v.Evaluate(`document.querySelectorAll("#lies, section:has(#lies) details").forEach(e => e.open = true)`)
		v.Press("form[action$='/scouts'] button")
		v.Sees("Give the day it was walked")
		v.Look()
	})
}

// announcement is the link in the mail that tells somebody of a decision.
func announcement(t *testing.T, mails []message.Mail, to string) string {
	t.Helper()
	for _, m := range mails {
		if m.To == to && strings.HasPrefix(m.Key, "decided/") {
			return sitetest.LinkIn(t, m, "updates")
		}
	}
	t.Fatalf("no mail tells %s of the decision", to)
	return ""
}

func TestDayLinkPages(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Crewed, func(_ *testing.T, _ *sitetest.Site, v *chromium.Tab) {
		const form = "form[action$=day-links]"
		v.SignIn(sitetest.Leader)
		v.Open("/hikes/1/manage")
		v.Click("#day-links ~ details summary")
		v.Fill(form, map[string]string{"link_name": "", "link_part": "on-call"})
		v.Press(form + " button")
		v.Sees("Write who gets the link")
		v.Fill(form, map[string]string{"link_name": "Sam Ortolan", "link_part": "sweep"})
		v.Press(form + " button")
		v.Sees("Shown this once")
		v.Open("/hikes/1/manage")
		v.Sees("Sam Ortolan")
	})
}

// The trip sheet fits on one page of both papers, and on a phone.
func TestTripSheetFitsOnePage(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Planned, time.Now)
	onScreens(t, s.URL, func(t *testing.T, v *chromium.Tab) {
		v.SignIn(sitetest.Leader)
		v.Open("/hikes/1/trip-sheet")
		for paper, size := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
			pdf := printed(v, size[0], size[1])
			if got := pagesOf(pdf); got != 1 {
				t.Errorf("on %s the trip sheet takes %d pages, want 1", paper, got)
			}
			keepPrint(v, "trip-sheet-"+paper, pdf)
		}
	})
}

// The plan of a hot day under a warning, as staff see it.
func TestPlanUnderAWarning(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Staffed, func(_ *testing.T, _ *sitetest.Site, v *chromium.Tab) {
		const form = "form[action$='/forecast']"
		v.SignIn(sitetest.Coordinator)
		v.Open("/hikes/1/manage")
		v.Fill(form, map[string]string{
			"low": "19", "high": "34", "dew_point": "2", "wind": "3", "wind_unit": "m/s", "cloud": "10",
			"heat_level": "3", "warning": "in force", "warning_text": "Extreme heat until 20:00", "storm": "20",
			"air_quality": "105",
		})
		v.Press(form + " button")
		v.Sees("A warning is in force (Extreme heat until 20:00)")
		v.Sees("chance of storms or flash floods is 20 %")
		v.Sees("3 (major)")
	})
}

func TestYearOfATrail(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	const normals = "month, low, high, dewpoint, wind, cloud, hot_by\n" +
		"Jan, 5C, 19C, -2C, 2m/s, 35%\n" +
		"Mar, 10C, 26C, -1C, 2.6m/s, 30%, 6C\n" +
		"May, 66F, 97F, 32F, 7mph, 15%\n" +
		"Jul, 27C, 41C, 15C, 3m/s, 35%\n" +
		"Oct, 16C, 32C, 5C, 2.2m/s, 15%\n"
	onSite(t, sitetest.Staffed, func(t *testing.T, _ *sitetest.Site, v *chromium.Tab) {
		const form = `form[action$='/year']`
		v.SignIn(sitetest.Coordinator)
		v.Open("/trails/1")
		v.Evaluate(`document.querySelector("` + form + `").closest("details").open = true`)
		v.Fill(form, map[string]string{"normals": "month, low, high"})
		v.Press(form + " button")
		v.Sees("the column wind is missing")
		typed := v.Ask(`document.querySelector("textarea[name=normals]").value`)
		if want := "month, low, high"; !strings.HasPrefix(typed, want) {
			t.Errorf("the typed text came back as %q, want %q", typed, want)
		}
		v.Fill(form, map[string]string{"normals": normals})
		v.Press(form + " button")
		v.Sees("may be led")
		v.Sees("February")
		v.Evaluate(`document.querySelector("` + form + `").closest("details").open = false`)
		v.Look()
	})
}
