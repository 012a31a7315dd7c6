package roll_test

import (
	"net/http"
	"testing"
	"time"

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
