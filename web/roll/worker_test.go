package roll_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
)

func TestServiceWorkerIsNotCached(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	page := s.Visitor(t).Get("/sw.js").Want(http.StatusOK)
	for name, want := range map[string]string{
		"Cache-Control":          "no-cache",
		"Service-Worker-Allowed": "/hikes/",
		"Content-Type":           "text/javascript; charset=utf-8",
	} {
		if got := page.Header.Get(name); got != want {
			t.Errorf("%s %q, want %q", name, got, want)
		}
	}
}

func TestOnlyTheRollIsKeptOnThePhone(t *testing.T) {
	t.Parallel()
	v := sitetest.Pages(t, sitetest.Crewed, time.Now).SignIn(t, sitetest.Leader)
	for path, want := range map[string]string{rollPath: "keep", "/hikes/1/manage": "", "/hikes/1": ""} {
		if got := v.Get(path).Want(http.StatusOK).Header.Get("Offline-Copy"); got != want {
			t.Errorf("%s: Offline-Copy %q, want %q", path, got, want)
		}
	}
}

// The roll alone may run a program.
func TestOnlyTheRollRunsAProgram(t *testing.T) {
	t.Parallel()
	v := sitetest.Pages(t, sitetest.Crewed, time.Now).SignIn(t, sitetest.Leader)
	for path, want := range map[string]bool{rollPath: true, "/hikes/1/manage": false, "/hikes/1": false, "/": false} {
		policy := v.Get(path).Want(http.StatusOK).Header.Get("Content-Security-Policy")
		if got := strings.Contains(policy, "; script-src 'self' 'wasm-unsafe-eval'"); got != want ||
			!strings.HasPrefix(policy, "default-src 'self'; ") {
			t.Errorf("%s: policy %q; a program runs: %v, want %v", path, policy, got, want)
		}
	}
}

// The phone is given no number plate before its holder may see one.
func TestPhoneIsGivenWhatTheViewerSees(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Planned, time.Now)
	const days = 4 * 24 * time.Hour
	s.ChangeHike(t, 1, func(h *hike.Hike) { h.Meet, h.Start = h.Meet.Add(days), h.Start.Add(days) })
	for email, want := range map[string]bool{sitetest.Coordinator: true, sitetest.Leader: false} {
		page := s.SignIn(t, email).Get(rollPath).Want(http.StatusOK)
		if got := strings.Contains(page.Attr("#roll", "data-offline"), "SAND 0"); got != want {
			t.Errorf("%s is given plates: %v, want %v", email, got, want)
		}
	}
}
