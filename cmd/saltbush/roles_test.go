package main

import (
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
	"saltbush/web"
)

// staffed is a site with one hike, its leader, another leader and a coordinator.
type staffed struct {
	program
	db *postgres.DB
}

const samplePassword = "quiet-lantern-gravel-nine"

func serveStaffed(t testing.TB) staffed {
	t.Helper()
	return serveStaffedWith(t)
}

func serveStaffedWith(t testing.TB, args ...string) staffed {
	t.Helper()
	ctx := context.Background()
	dsn := pgtest.Database(t, postgres.Migrate)
	db, err := postgres.Open(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	if err := withCardKey(ctx, db); err != nil {
		t.Fatal(err)
	}
	hash, err := account.NewHasher(1).Hash(ctx, samplePassword)
	if err != nil {
		t.Fatal(err)
	}
	var leads account.ID
	for _, a := range []account.Account{
		{Name: "Juniper Vale", Email: "coordinator@example.org", Roles: []account.Role{account.Coordinator}},
		{Name: "Ash Moreno", Email: "leads@example.org", Roles: []account.Role{account.Leader}},
		{Name: "Ines Calder", Email: "other@example.org", Roles: []account.Role{account.Leader}},
		{Name: "Rosa Lind", Email: "trainer@example.org", Roles: []account.Role{account.Trainer}},
		{Name: "Petra Halloway", Email: "oncall@example.org", Roles: []account.Role{account.OnCall}},
		{Name: "Teo Marsh", Email: "safety@example.org", Roles: []account.Role{account.Safety}},
	} {
		a.PasswordHash, a.Active, a.Units, a.Created = hash, true, account.Metric, time.Now()
		made, err := db.AccountStore().CreateAccount(ctx, a)
		if err != nil {
			t.Fatal(err)
		}
		if a.Email == "leads@example.org" {
			leads = made.ID
		}
	}
	storeHike(t, db, leads)
	return staffed{serve(t, append([]string{"serve", "--database-url", dsn}, args...)...), db}
}

func storeHike(t testing.TB, db *postgres.DB, leads account.ID) {
	t.Helper()
	var fixes []track.Fix
	for i := range 200 {
		fixes = append(fixes, track.Fix{At: unit.At(33.4+float64(i)*1e-4, -112), Elevation: unit.Length(600 + i), HasElevation: true})
	}
	profile, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OutAndBack)
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	tr := trail.Trail{Name: "Dry Fork", Zone: "America/Phoenix", Surface: walk.Firm, Profile: profile, Created: time.Now()}
	if tr.ID, err = db.AddTrail(ctx, tr, []byte("<gpx/>")); err != nil {
		t.Fatal(err)
	}
	start := time.Now().Add(48 * time.Hour)
	_, err = db.AddHike(ctx, hike.Hike{Trail: tr.ID, Title: "Dry Fork at dawn", Meet: start.Add(-30 * time.Minute), Start: start,
		Places: 20, Pace: walk.Ordinary, State: hike.Posted, Created: time.Now(),
		Staff: []team.Staff{{Person: uuid.NewString(), Account: leads, Role: team.Leader}}})
	if err != nil {
		t.Fatal(err)
	}
}

// client is a browser without scripts.
func client(t testing.TB) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

func (p program) signIn(t testing.TB, email string) *http.Client {
	t.Helper()
	c := client(t)
	if email == "" {
		return c
	}
	res, err := c.PostForm(p.base+"/sign-in", url.Values{"email": {email}, "password": {samplePassword}})
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if res.StatusCode != http.StatusSeeOther {
		t.Fatalf("sign in as %s: status %d", email, res.StatusCode)
	}
	return c
}

// Every route is walked by every kind of visitor. Who may open what is written here by
// hand, apart from the policy in the code, so that a slip in one shows against the other.
func TestEveryRouteAsEveryRole(t *testing.T) {
	p := serveStaffed(t)
	who := []struct{ name, email string }{
		{"anonymous", ""}, {"other leader", "other@example.org"}, {"hike's leader", "leads@example.org"}, {"coordinator", "coordinator@example.org"}, {"trainer", "trainer@example.org"},
		{"on-call", "oncall@example.org"}, {"safety", "safety@example.org"},
	}
	routes := web.AllRoutes()
	if len(routes) < 40 {
		t.Fatalf("only %d routes", len(routes))
	}
	in := map[string]*http.Client{}
	for _, visitor := range who { // before the walk, which tries the form for signing in too
		in[visitor.name] = p.signIn(t, visitor.email)
	}
	for _, visitor := range who {
		c := in[visitor.name]
		for _, route := range routes {
			if route.Pattern == "/sign-out" || route.Pattern == "/account/sign-ins/end-others" || strings.HasSuffix(route.Pattern, "/stream") {
				continue // ends the session; does not end
			}
			got := p.allowed(t, c, route)
			if want := mayOpen(visitor.name, route.Method+" "+route.Pattern); got != want {
				t.Errorf("%s, %s %s: allowed %v, want %v", visitor.name, route.Method, route.Pattern, got, want)
			}
		}
	}
}

// mayOpen is the table of who may open what.
func mayOpen(who, route string) bool {
	_, path, _ := strings.Cut(route, " ")
	switch {
	case strings.HasPrefix(path, "/sign-in/passkey") || path == "/lost-password" || strings.HasPrefix(path, "/new-password/"):
		return true
	case path == "/sign-in/code":
		return false // asks for the password first, whoever comes
	case strings.HasPrefix(path, "/hikes/{hike}/cards/"):
		return false // two days before the hike nobody opens a card
	case path == "/cards" || path == "/log" || strings.HasPrefix(path, "/retention"):
		return who == "coordinator" || who == "safety"
	case strings.HasPrefix(path, "/mine"), strings.HasPrefix(path, "/account"):
		return who != "anonymous"
	case path == "/staff/people" || path == "/staff/people/{account}" || strings.HasSuffix(path, "/observed"):
		return who == "coordinator" || who == "trainer"
	case strings.HasPrefix(path, "/staff"):
		return who == "coordinator"
	case strings.HasPrefix(path, "/people") || path == "/outbox" || strings.HasPrefix(path, "/house"):
		return who == "coordinator"
	case strings.HasPrefix(path, "/day/") || strings.HasPrefix(path, "/place/") || strings.HasPrefix(path, "/first") || strings.HasPrefix(path, "/invited/") || strings.HasPrefix(path, "/watch/") || strings.HasPrefix(path, "/asked/") || strings.HasPrefix(path, "/updates/") || strings.HasPrefix(path, "/contact/") || strings.HasPrefix(path, "/feed/") || strings.HasPrefix(path, "/mail/"):
		return true // opened by their own secret, or not at all
	case path == "/" || path == "/hikes.ics" || path == "/units" || path == "/sign-in" || path == "/lost-link" || route == "GET /hikes/{hike}" || path == "/hikes/{hike}/hike.ics" || strings.HasSuffix(path, "/sign-up"):
		return true
	case route == "GET /trails" || route == "GET /trails/{trail}":
		return true
	case path == "/board" || path == "/board/today":
		return who != "anonymous" && who != "trainer"
	case strings.HasSuffix(path, "/watch") || strings.HasSuffix(path, "/hand-over"): // the hike is in two days: not on-call's yet
		return who != "anonymous" && who != "trainer" && who != "on-call"
	case strings.HasPrefix(path, "/wake") || strings.HasPrefix(path, "/board") || strings.HasSuffix(path, "/watch/note") || strings.HasSuffix(path, "/watch/back"):
		return who != "anonymous" && who != "trainer" && who != "safety"
	case strings.HasPrefix(path, "/trails") || path == "/desk" || path == "/hikes" || path == "/hikes/new":
		return strings.HasSuffix(who, "leader") || who == "coordinator"
	case strings.HasSuffix(path, "/trip-sheet"):
		return who == "hike's leader" || who == "coordinator" || who == "safety"
	case strings.HasSuffix(path, "/sign-ups.csv"): // the hike is in two days: not the leader's yet
		return who == "coordinator"
	}
	return who == "hike's leader" || who == "coordinator" // the management and the roll of one hike
}

// allowed reports whether a request is let through to its handler: neither sent to sign
// in nor refused.
func (p program) allowed(t *testing.T, c *http.Client, route web.Route) bool {
	t.Helper()
	path := strings.NewReplacer("{hike}", "1", "{trail}", "1", "{point}", "1", "{person}", uuid.NewString(), "{account}", "1", "{absence}", "1", "{rule}", "ratio", "{link}", "1", "{signin}", uuid.NewString(), "{closure}", "1",
		"{secret}", "nothing", "{name}", "board").Replace(route.Pattern)
	req, err := http.NewRequest(route.Method, p.base+path, strings.NewReader("title=&name="))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	res, err := c.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	_, _ = io.Copy(io.Discard, res.Body)
	if res.StatusCode >= 500 {
		t.Errorf("%s %s: status %d", route.Method, path, res.StatusCode)
	}
	toSignIn := res.StatusCode == http.StatusSeeOther && strings.HasPrefix(res.Header.Get("Location"), "/sign-in")
	return !toSignIn && res.StatusCode != http.StatusForbidden
}

func TestCrossSitePostIsRefused(t *testing.T) {
	p := serveStaffed(t)
	c := p.signIn(t, "coordinator@example.org")
	req, _ := http.NewRequest(http.MethodPost, p.base+"/people", strings.NewReader("name=Mallow&email=m@example.org&roles=coordinator"))
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	req.Header.Set("Sec-Fetch-Site", "cross-site")
	res, err := c.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if res.StatusCode != http.StatusForbidden {
		t.Errorf("status %d, want 403", res.StatusCode)
	}
	if n, _ := p.db.AccountStore().CountAccounts(context.Background()); n != 6 {
		t.Errorf("%d accounts, want 6", n)
	}
}

func TestPagesForbidInlineScript(t *testing.T) {
	p := serveStaffed(t)
	res, err := client(t).Get(p.base + "/")
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	policy := res.Header.Get("Content-Security-Policy")
	if !strings.Contains(policy, "default-src 'self'") || strings.Contains(policy, "unsafe") {
		t.Errorf("policy %q", policy)
	}
}

func TestGuessingPasswordsIsSlow(t *testing.T) {
	p := serveStaffed(t)
	c := client(t)
	for try := range 12 {
		res, err := c.PostForm(p.base+"/sign-in", url.Values{"email": {"coordinator@example.org"}, "password": {"not the password"}})
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		want := http.StatusUnprocessableEntity
		if try >= 10 {
			want = http.StatusTooManyRequests
		}
		if res.StatusCode != want {
			t.Errorf("try %d: status %d, want %d", try+1, res.StatusCode, want)
		}
	}
}
