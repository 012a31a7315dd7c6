package web_test

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/site/sitetest"
	"saltbush/web"
)

// Every route is tried by everybody. Who may open what is written here by hand, apart from
// the policy in the code, so that a slip in one shows against the other.
func TestEveryRouteAsEveryRole(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	routes := web.AllRoutes()
	if len(routes) < 40 {
		t.Fatalf("only %d routes", len(routes))
	}
	who := map[string]*sitetest.Visitor{ // before the walk, which tries the form for signing in too
		"anonymous":     s.Visitor(t),
		"other leader":  s.SignIn(t, sitetest.OtherLeader),
		"hike's leader": s.SignIn(t, sitetest.Leader),
		"coordinator":   s.SignIn(t, sitetest.Coordinator),
		"trainer":       s.SignIn(t, sitetest.Trainer),
		"on-call":       s.SignIn(t, sitetest.OnCall),
		"safety":        s.SignIn(t, sitetest.Safety),
	}
	for name, v := range who {
		for _, route := range routes {
			if endsOrNeverEnds(route.Pattern) {
				continue
			}
			got := allowed(t, v, route)
			if want := mayOpen(name, route.Method+" "+route.Pattern); got != want {
				t.Errorf("%s, %s %s: allowed %v, want %v", name, route.Method, route.Pattern, got, want)
			}
		}
	}
}

// endsOrNeverEnds reports whether a route ends the session that walks it, or never answers.
func endsOrNeverEnds(pattern string) bool {
	return pattern == "/sign-out" || pattern == "/account/sign-ins/end-others" || strings.HasSuffix(pattern, "/stream")
}

// allowed reports whether a request is let through to its handler: neither sent to sign in
// nor refused.
func allowed(t *testing.T, v *sitetest.Visitor, route web.Route) bool {
	t.Helper()
	path := strings.NewReplacer(
		"{hike}", "1", "{trail}", "1", "{point}", "1", "{closure}", "1", "{link}", "1", "{absence}", "1",
		"{account}", "1", "{person}", uuid.NewString(), "{signin}", uuid.NewString(), "{rule}", "ratio",
		"{secret}", "nothing", "{name}", "board",
	).Replace(route.Pattern)
	page := v.Get
	if route.Method == http.MethodPost {
		page = func(path string) sitetest.Page { return v.Post(path, url.Values{"title": {""}, "name": {""}}) }
	}
	p := page(path)
	if p.Status >= http.StatusInternalServerError {
		t.Errorf("%s: status %d", p.Asked, p.Status)
	}
	toSignIn := p.Status == http.StatusSeeOther && strings.HasPrefix(p.Location(), "/sign-in")
	return !toSignIn && p.Status != http.StatusForbidden
}

// mayOpen is the table of who may open what.
func mayOpen(who, route string) bool {
	_, path, _ := strings.Cut(route, " ")
	coordinator := who == "coordinator"
	signedIn := who != "anonymous"
	begins := func(prefixes ...string) bool {
		for _, p := range prefixes {
			if strings.HasPrefix(path, p) {
				return true
			}
		}
		return false
	}
	switch {
	case begins("/sign-in/passkey", "/new-password/") || path == "/lost-password":
		return true
	case path == "/sign-in/code":
		return false // asks everybody for the password first
	case begins("/hikes/{hike}/cards/"):
		return false // two days before the hike nobody opens a card
	case path == "/cards" || path == "/log" || begins("/retention"):
		return coordinator || who == "safety"
	case begins("/mine", "/account"):
		return signedIn
	case path == "/staff/people" || path == "/staff/people/{account}" || strings.HasSuffix(path, "/observed"):
		return coordinator || who == "trainer"
	case begins("/staff", "/people", "/house") || path == "/outbox":
		return coordinator
	case begins("/day/", "/place/", "/first", "/invited/", "/watch/", "/asked/", "/updates/"):
		return true // opened by their own secret, or not at all
	case begins("/contact/", "/feed/", "/mail/"):
		return true // so are these
	case path == "/" || path == "/hikes.ics" || path == "/units" || path == "/sign-in" || path == "/lost-link":
		return true
	case route == "GET /hikes/{hike}" || path == "/hikes/{hike}/hike.ics" || strings.HasSuffix(path, "/sign-up"):
		return true
	case route == "GET /trails" || route == "GET /trails/{trail}":
		return true
	case path == "/board" || path == "/board/wall" || path == "/board/today":
		return signedIn && who != "trainer"
	case strings.HasSuffix(path, "/watch") || strings.HasSuffix(path, "/hand-over"):
		return signedIn && who != "trainer" && who != "on-call" // the hike is in two days: not on-call's yet
	case begins("/wake", "/board") || strings.HasSuffix(path, "/watch/note") ||
		strings.HasSuffix(path, "/watch/back") || strings.HasSuffix(path, "/watch/pass"):
		return signedIn && who != "trainer"
	case begins("/trails") || path == "/desk" || path == "/hikes" || path == "/hikes/new":
		return strings.HasSuffix(who, "leader") || coordinator
	case strings.HasSuffix(path, "/trip-sheet"):
		return who == "hike's leader" || coordinator || who == "safety"
	case strings.HasSuffix(path, "/sign-ups.csv"): // the hike is in two days: not the leader's yet
		return coordinator
	}
	return who == "hike's leader" || coordinator // the management and the roll of one hike
}

func TestCrossSitePostIsRefused(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	form := "name=Mallow&email=m@example.org&roles=coordinator"
	req, err := http.NewRequest(http.MethodPost, s.URL+"/people", strings.NewReader(form))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	req.Header.Set("Sec-Fetch-Site", "cross-site")
	s.SignIn(t, sitetest.Coordinator).Do(req).Want(http.StatusForbidden)
	if n, err := s.DB.AccountStore().CountAccounts(context.Background()); err != nil || n != 6 {
		t.Errorf("%d accounts, %v; want 6", n, err)
	}
}

func TestPagesForbidInlineScript(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	policy := s.Visitor(t).Get("/").Header.Get("Content-Security-Policy")
	if !strings.Contains(policy, "default-src 'self'") || strings.Contains(policy, "unsafe") {
		t.Errorf("policy %q, want default-src 'self' and nothing unsafe", policy)
	}
}
