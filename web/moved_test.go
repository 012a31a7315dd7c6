package web

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/go-chi/chi/v5"
)

// mailed are the addresses that mails, papers and calendars of every version so far have
// named. None of them may ever be dead: add, never remove.
func mailed() []string {
	const secret = "aaaabbbbccccddddeeeeffffgggghhhh"
	return []string{
		"/", "/hikes/7", "/hikes/7/hike.ics", "/hikes.ics",
		"/place/" + secret, "/place/" + secret + "/hike.ics", "/place/" + secret + "/contact.vcf",
		"/told/" + secret, "/updates/" + secret,
		"/contact/" + secret, "/mail/" + secret, "/asked/" + secret, "/feed/" + secret + "/hikes.ics",
		"/invited/" + secret, "/new-password/" + secret, "/first/" + secret, "/lost-link", "/lost-password",
		"/day/" + secret, "/watch/" + secret, "/hikes/7/watch", "/hikes/7/cars", "/hikes/7/trip-sheet",
		"/board", "/desk", "/mine", "/staff", "/account", "/people", "/kept", "/retention",
		"/hikes/7/sign-ups/bring", "/people/bring",
	}
}

// testRouter has the routes of the site without a site behind them.
func testRouter() chi.Router {
	r := chi.NewRouter()
	for _, route := range AllRoutes() {
		r.Method(route.Method, route.Pattern, http.NotFoundHandler())
	}
	redirectMoved(r)
	return r
}

func TestMailedAddressesAreRouted(t *testing.T) {
	r := testRouter()
	for _, path := range mailed() {
		if !r.Match(chi.NewRouteContext(), http.MethodGet, path) {
			t.Errorf("%s stood in a mail and leads nowhere", path)
		}
	}
	for from, to := range moved() {
		if r.Match(chi.NewRouteContext(), http.MethodGet, "/nowhere/at/all") {
			t.Fatal("the router takes any address")
		}
		fill := strings.NewReplacer("{secret}", "s", "{hike}", "7")
		if !r.Match(chi.NewRouteContext(), http.MethodGet, fill.Replace(to)) {
			t.Errorf("%s is sent on to %s, which is not routed", from, to)
		}
	}
}

func TestMovedAddressKeepsMethodSecretAndQuery(t *testing.T) {
	r := testRouter()
	for _, method := range []string{http.MethodGet, http.MethodPost} {
		w := httptest.NewRecorder()
		r.ServeHTTP(w, httptest.NewRequest(method, "/told/k4f2?x=1", nil))
		if w.Code != http.StatusPermanentRedirect || w.Header().Get("Location") != "/updates/k4f2?x=1" {
			t.Errorf("%s: %d to %q, want 308 to /updates/k4f2?x=1", method, w.Code, w.Header().Get("Location"))
		}
	}
}
