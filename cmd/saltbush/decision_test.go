package main

import (
	"context"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// decided is a posted hike with its staff accepted and two people signed up.
type decided struct {
	staffed
	t *testing.T
	c *http.Client
}

func serveDecided(t *testing.T) decided {
	t.Helper()
	p := serveStaffed(t)
	ctx := context.Background()
	err := p.db.ChangeHike(ctx, 1, func(h *hike.Hike) error {
		h.OnCall = team.Contact{Name: "Rosa Lind", Phone: "602-555-0113"}
		h.Staff = []team.Staff{{Person: h.Staff[0].Person, Account: 2, Role: team.Leader, Answer: team.AnswerAccepted}, {Person: uuid.NewString(), Account: 3, Role: team.Sweep, Answer: team.AnswerAccepted}}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"Amaya Reyes", "Wren Abara"} {
		id := uuid.New()
		if _, err := p.db.SignUp(ctx, signup.SignUp{ID: id.String(), Hike: 1, Name: name, Email: strings.ToLower(name[:4]) + "@example.org", Mobile: "602-555-0131",
			EmergencyName: "Kin", EmergencyPhone: "602-555-0132", LongestWalk: "Ten.", Asked: time.Now(), Link: id[:]}, time.Now()); err != nil {
			t.Fatal(err)
		}
	}
	return decided{p, t, p.signIn(t, "leads@example.org")}
}

// send posts a form and returns the status and the page.
func (d decided) send(c *http.Client, path string, form url.Values) (int, string) {
	d.t.Helper()
	res, err := c.PostForm(d.base+path, form)
	if err != nil {
		d.t.Fatal(err)
	}
	defer res.Body.Close()
	page, _ := io.ReadAll(res.Body)
	return res.StatusCode, string(page)
}

func (d decided) page(c *http.Client, path string) string {
	d.t.Helper()
	res, err := c.Get(d.base + path)
	if err != nil {
		d.t.Fatal(err)
	}
	defer res.Body.Close()
	page, _ := io.ReadAll(res.Body)
	if res.StatusCode != http.StatusOK {
		d.t.Fatalf("%s: status %d", path, res.StatusCode)
	}
	return string(page)
}

// letters are the keys and links of the mails about decisions, by their subject's first word
// and the address.
func (d decided) letters() (links map[string]string, reminders int) {
	d.t.Helper()
	mails, err := d.db.Outbox().Recent(context.Background(), 100)
	if err != nil {
		d.t.Fatal(err)
	}
	links = map[string]string{}
	for _, m := range mails {
		switch {
		case strings.HasPrefix(m.Key, "decided again/"):
			reminders++
			if m.State != "queued" || !m.NextTry.After(time.Now().Add(time.Hour)) {
				d.t.Errorf("reminder %s is %s, next try %s", m.Key, m.State, m.NextTry)
			}
		case strings.HasPrefix(m.Key, "decided/"):
			if path := regexp.MustCompile(`/updates/\S+`).FindString(m.Text); links[m.To] == "" {
				links[m.To] = path // the latest comes first
			}
		}
	}
	return links, reminders
}

// A decision goes out with its letters, is read by a link, chased once, and revised toward
// caution alone.
func TestDecisionIsToldAndRead(t *testing.T) {
	d := serveDecided(t)
	if status, page := d.send(d.c, "/hikes/1/decide", url.Values{"outcome": {"shorter"}, "turn": {"the fork"}}); status != http.StatusUnprocessableEntity || !strings.Contains(page, "write down why") || !strings.Contains(page, `value="the fork"`) {
		t.Fatalf("without a plan and a reason: status %d, or what was typed is lost", status)
	}
	if links, reminders := d.letters(); len(links)+reminders != 0 {
		t.Fatalf("a refusal told %d people", len(links))
	}
	if status, page := d.send(d.c, "/hikes/1/decide", url.Values{"outcome": {"shorter"}, "turn": {"the fork"}, "reason": {"Known way, cool day."}}); status != http.StatusSeeOther {
		t.Fatalf("status %d\n%s\n%s", status, page, d.out)
	}
	links, reminders := d.letters()
	if len(links) != 3 || reminders != 3 || links["other@example.org"] == "" {
		t.Fatalf("letters %v and %d reminders, want 3 and 3: two people and the sweep; the leader took the decision", links, reminders)
	}
	page := d.page(d.c, "/hikes/1/manage")
	for _, want := range []string{"It goes, shorter: it turns back at the fork.", "0 of 3 have read it", "Amaya Reyes", "602-555-0131", "Ines Calder", "Somebody stands at the trailhead", "Taken without a plan"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page of the hike never says %q", want)
		}
	}
	anybody := client(t)
	if told := d.page(anybody, links["amay@example.org"]); !strings.Contains(told, "it turns back at the fork") {
		t.Error("the link does not say what was decided")
	}
	for range 2 { // twice is no fault
		if status, _ := d.send(anybody, links["amay@example.org"], url.Values{"answer": {"read"}}); status != http.StatusSeeOther {
			t.Errorf("reading: status %d", status)
		}
	}
	if told := d.page(anybody, links["other@example.org"]); !strings.Contains(told, "it turns back at the fork") || !strings.Contains(told, "for Ines Calder alone") {
		t.Error("the sweep's link does not say what was decided")
	}
	if status, _ := d.send(anybody, links["other@example.org"], url.Values{"answer": {"read"}}); status != http.StatusSeeOther {
		t.Errorf("the sweep reads: status %d", status)
	}
	if _, reminders := d.letters(); reminders != 1 {
		t.Errorf("%d reminders wait, want 1: who has read is not chased", reminders)
	}
	if page := d.page(d.c, "/hikes/1/manage"); !strings.Contains(page, "2 of 3 have read it") {
		t.Error("the page does not know who has read it")
	}
	if status, _ := d.send(d.c, "/hikes/1/call-off", url.Values{"reason": {"Storm upstream."}}); status != http.StatusSeeOther {
		t.Errorf("calling off: status %d", status)
	}
	after, reminders := d.letters()
	if reminders != 3 || after["wren@example.org"] == links["wren@example.org"] {
		t.Errorf("%d reminders wait, want 3, of the new decision alone", reminders)
	}
	if old := d.page(anybody, links["wren@example.org"]); !strings.Contains(old, "There is later news") {
		t.Error("the old link does not say that there is later news")
	}
	if told := d.page(anybody, after["wren@example.org"]); !strings.Contains(told, "Storm upstream.") {
		t.Error("the link does not say why")
	}
	if status, _ := d.send(d.c, "/hikes/1/decide", url.Values{"reason": {"We are all here now."}}); status == http.StatusSeeOther {
		t.Error("a hike that was called off goes again")
	}
	if desk := d.page(d.c, "/desk"); !strings.Contains(desk, "Ring who has not read it") {
		t.Error("the desk does not ask to ring who has not read it")
	}
}

// A swap to a harder trail waits for each person's consent, and for a leader fit for it.
func TestSwapToAHarderTrail(t *testing.T) {
	d := serveDecided(t)
	ctx := context.Background()
	steep := d.storeSteep()
	d.fill()
	move := url.Values{"outcome": {"other trail"}, "trail": {"2"}, "reason": {"The wash is closed."}}
	if status, page := d.send(d.c, "/hikes/1/decide", move); status != http.StatusUnprocessableEntity || !strings.Contains(page, "no qualification on record") {
		t.Fatalf("a leader of whom nothing is known: status %d", status)
	}
	today := unit.DateOf(time.Now())
	if err := d.db.AddClosure(ctx, trail.Closure{Trail: steep, From: today, Why: "Nesting", Source: "warden", Blocks: true, Noted: time.Now()}); err != nil {
		t.Fatal(err)
	}
	if status, page := d.send(d.c, "/hikes/1/decide", move); status != http.StatusUnprocessableEntity || !strings.Contains(page, "closed that day") {
		t.Fatalf("to a closed trail: status %d", status)
	}
	if err := d.db.RemoveClosure(ctx, steep, 1); err != nil {
		t.Fatal(err)
	}
	kinds, err := d.db.CertificateKinds(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, account := range []ref.Account{2, 3} {
		for _, k := range kinds {
			if err := d.db.AddCertificate(ctx, team.Certificate{Account: account, Kind: k.Name, Through: today.Add(400)}); err != nil {
				t.Fatal(err)
			}
		}
		if err := d.db.AddApproval(ctx, account, team.Approval{From: today.Add(-400), Level: team.LevelLeader, Status: team.StatusActive, MaxClass: track.VeryStrenuous, By: "Juniper Vale"}); err != nil {
			t.Fatal(err)
		}
	}
	if status, page := d.send(d.c, "/hikes/1/decide", move); status != http.StatusSeeOther {
		t.Fatalf("status %d\n%s", status, page[strings.Index(page, "<main"):])
	}
	h, _ := d.db.Hike(ctx, 1)
	states := func() string {
		places, err := d.db.SignUps(ctx, 1)
		if err != nil {
			t.Fatal(err)
		}
		return string(places[0].State) + ", " + string(places[1].State)
	}
	if h.Title != "Lantern Ridge at dawn" {
		t.Errorf("the title is %q, of the trail that the hike has left", h.Title)
	}
	if h.Trail != steep || states() != "offered, offered" {
		t.Fatalf("trail %d, places %s; want trail %d and both offered", h.Trail, states(), steep)
	}
	if places, err := d.db.SignUps(ctx, 1); err != nil || places[2].State != signup.Waiting {
		t.Fatalf("the third is %v, %v; want them to wait", places, err)
	}
	links, _ := d.letters()
	anybody := client(t)
	if page := d.page(anybody, links["amay@example.org"]); !strings.Contains(page, "I agree to the harder trail") {
		t.Error("consent is not asked for")
	}
	d.send(anybody, links["amay@example.org"], url.Values{"answer": {"yes"}})
	d.send(anybody, links["wren@example.org"], url.Values{"answer": {"no"}})
	if states() != "confirmed, withdrawn" {
		t.Errorf("places %s, want the one confirmed and the other given back", states())
	}
	places, err := d.db.SignUps(ctx, 1)
	if err != nil || places[2].State != signup.Offered {
		t.Errorf("the next is %s, %v; want the place offered to them at once", places[2].State, err)
	}
	mails, err := d.db.Outbox().Recent(ctx, 100)
	if err != nil || !slices.ContainsFunc(mails, func(m message.Mail) bool { return m.To == "next@example.org" && strings.HasPrefix(m.Key, "offered/") }) {
		t.Errorf("nobody wrote to the next, %v", err)
	}
}

// Near the day the board says who has not read, at which hour they come, and who stands
// there for them.
func TestBoardSaysWhoMayNotKnow(t *testing.T) {
	d := serveDecided(t)
	var meet time.Time
	err := d.db.ChangeHike(context.Background(), 1, func(h *hike.Hike) error {
		h.Start = time.Now().Add(10 * time.Hour).In(h.Start.Location())
		h.Meet = h.Start.Add(-30 * time.Minute)
		meet = h.Meet
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if page := d.page(d.c, "/board"); strings.Contains(page, "Who may not know") {
		t.Error("the board asks who knows before anything was decided")
	}
	if status, page := d.send(d.c, "/hikes/1/call-off", url.Values{"reason": {"Storm upstream."}}); status != http.StatusSeeOther {
		t.Fatalf("calling off: status %d\n%s", status, page)
	}
	at := "at " + meet.Format("15:04")
	if page := d.page(d.c, "/board"); !strings.Contains(page, "Who may not know") || !strings.Contains(page, "3 people have not") || !strings.Contains(page, "Somebody stands") || !strings.Contains(page, at) || !strings.Contains(page, "Wren Abara") {
		t.Errorf("the board does not say who has not read a hike called off, nor who stands there %s", at)
	}
	if status, _ := d.send(d.c, "/hikes/1/stands", url.Values{"stands": {"Ines Calder"}}); status != http.StatusSeeOther {
		t.Errorf("naming who stands there: status %d", status)
	}
	if page := d.page(d.c, "/desk"); !strings.Contains(page, "somebody stands at the trailhead unless all are reached") {
		t.Error("the desk does not say that somebody stands at the trailhead")
	}
	for _, path := range []string{"/board", "/hikes/1/manage"} {
		if page := d.page(d.c, path); !strings.Contains(page, "Ines Calder stands at the trailhead of") {
			t.Errorf("%s does not say who stands at the trailhead", path)
		}
	}
	if page := d.page(d.signIn(t, "oncall@example.org"), "/board"); !strings.Contains(page, "3 people have not") || strings.Contains(page, "Wren Abara") {
		t.Error("on-call of other hikes reads the names, or nothing")
	}
}

// storeSteep stores a second trail of a harder class.
func (d decided) storeSteep() ref.Trail {
	d.t.Helper()
	var fixes []track.Fix
	for i := range 500 {
		fixes = append(fixes, track.Fix{At: unit.At(33.5+float64(i)*1e-4, -112), Elevation: unit.Length(600 + 2*i), HasElevation: true})
	}
	profile, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OutAndBack)
	if err != nil {
		d.t.Fatal(err)
	}
	id, err := d.db.AddTrail(context.Background(), trail.Trail{Name: "Lantern Ridge", Zone: "America/Phoenix", Surface: walk.Rocky, Profile: profile, Created: time.Now()}, []byte("<gpx/>"))
	if err != nil {
		d.t.Fatal(err)
	}
	return id
}

// fill leaves no place free and has one more person wait.
func (d decided) fill() {
	d.t.Helper()
	ctx := context.Background()
	if err := d.db.ChangeHike(ctx, 1, func(h *hike.Hike) error { h.Places = 2; return nil }); err != nil {
		d.t.Fatal(err)
	}
	id := uuid.New()
	if _, err := d.db.SignUp(ctx, signup.SignUp{ID: id.String(), Hike: 1, Name: "Noor Ferrante", Email: "next@example.org", Mobile: "602-555-0131",
		EmergencyName: "Kin", EmergencyPhone: "602-555-0132", LongestWalk: "Ten.", Asked: time.Now(), Link: id[:]}, time.Now()); err != nil {
		d.t.Fatal(err)
	}
}
