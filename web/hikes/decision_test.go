package hikes_test

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// Who is told of a decision about the hike of sitetest.Ready.
const (
	amaya = "amaya@example.org"
	wren  = "wren@example.org"
)

// announced are the mails about decisions: the latest link to each address, and how many
// reminders wait.
func announced(t *testing.T, s *sitetest.Site) (links map[string]string, reminders int) {
	t.Helper()
	links = map[string]string{}
	for _, m := range s.Mails(t) {
		switch {
		case strings.HasPrefix(m.Key, "decided again/"):
			reminders++
			if m.State != message.Queued || !m.NextTry.After(time.Now().Add(time.Hour)) {
				t.Errorf("reminder %s is %s, next try %s; want queued for later", m.Key, m.State, m.NextTry)
			}
		case strings.HasPrefix(m.Key, "decided/") && links[m.To] == "": // the latest comes first
			links[m.To] = sitetest.LinkIn(t, m, "updates")
		}
	}
	return links, reminders
}

func wantReminders(t *testing.T, s *sitetest.Site, when string, want int) {
	t.Helper()
	if _, got := announced(t, s); got != want {
		t.Errorf("%s %d reminders wait, want %d", when, got, want)
	}
}

// A decision is mailed to everybody, read by a link, reminded of once, and changed only
// toward caution.
func TestDecisionIsAnnouncedAndRead(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Ready, time.Now)
	leader, anybody := s.SignIn(t, sitetest.Leader), s.Visitor(t)
	shorter := url.Values{"outcome": {"shorter"}, "turn": {"the fork"}, "turn_distance": {"0.9"}, "turn_unit": {"km"}}
	refused := leader.Post("/hikes/1/decide", shorter).Want(http.StatusUnprocessableEntity)
	refused.Shows("write down why", `value="the fork"`)
	if links, reminders := announced(t, s); len(links)+reminders != 0 {
		t.Fatalf("a refused decision was mailed to %d people", len(links))
	}
	shorter.Set("reason", "Known way, cool day.")
	leader.Post("/hikes/1/decide", shorter).Want(http.StatusSeeOther)
	links, _ := announced(t, s)
	if len(links) != 3 || links[sitetest.OtherLeader] == "" {
		t.Fatalf("mailed to %v, want two walkers and the sweep, and not the leader who decided", links)
	}
	wantReminders(t, s, "at first", 3)
	leader.Get("/hikes/1/manage").Want(http.StatusOK).Shows(
		"It goes, shorter: it turns back at the fork.", "0 of 3 have read it", "Amaya Reyes", "602-555-0131",
		"Ines Calder",
		"Somebody stands at the trailhead", "Taken without a plan",
	)
	anybody.Get(links[amaya]).Want(http.StatusOK).Shows("it turns back at the fork")
	anybody.Get(links[sitetest.OtherLeader]).Shows("it turns back at the fork", "for Ines Calder alone")
	for _, to := range []string{amaya, amaya, sitetest.OtherLeader} { // reading twice is no fault
		anybody.Post(links[to], url.Values{"answer": {"read"}}).Want(http.StatusSeeOther)
	}
	wantReminders(t, s, "when two have read", 1)
	leader.Get("/hikes/1/manage").Shows("2 of 3 have read it")
}

func TestCallingOffReplacesTheDecision(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Ready, time.Now)
	leader, anybody := s.SignIn(t, sitetest.Leader), s.Visitor(t)
	shorter := url.Values{"outcome": {"shorter"}, "turn": {"the fork"}, "turn_distance": {"0.9"}, "turn_unit": {"km"},
		"reason": {"Known way, cool day."}}
	leader.Post("/hikes/1/decide", shorter).Want(http.StatusSeeOther)
	before, _ := announced(t, s)
	anybody.Post(before[amaya], url.Values{"answer": {"read"}}).Want(http.StatusSeeOther)

	leader.Post("/hikes/1/call-off", url.Values{"reason": {"Storm upstream."}}).Want(http.StatusSeeOther)
	after, _ := announced(t, s)
	wantReminders(t, s, "after calling off", 3) // of the new decision, and none of the old
	if after[wren] == before[wren] {
		t.Error("calling off was not mailed with a link of its own")
	}
	anybody.Get(before[wren]).Shows("There is later news")
	anybody.Get(after[wren]).Shows("Storm upstream.")
	again := leader.Post("/hikes/1/decide", url.Values{"reason": {"We are all here now."}})
	if again.Status == http.StatusSeeOther {
		t.Error("a hike that was called off goes again")
	}
	leader.Get("/desk").Shows("Ring who has not read it")
}

// A swap to a harder trail needs a leader who is fit for it, and each person's consent. Whose walks do
// not speak for it has a talk first, and keeps the place until then.
func TestSwapToAHarderTrail(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	s := sitetest.Pages(t, sitetest.Ready, time.Now)
	leader, anybody := s.SignIn(t, sitetest.Leader), s.Visitor(t)
	steep := addRidge(t, s)
	s.ChangeHike(t, 1, func(h *hike.Hike) { h.Places = 2 })
	sitetest.AddSignUp(t, s.DB, sitetest.Walker("Noor Ferrante", "next@example.org"))
	s.Exec(t, `UPDATE signups SET self_report = '{"walk": {"Distance": 12000, "Ascent": 900}}' WHERE email <> $1`, wren)
	wantStates(t, s, signup.Confirmed, signup.Confirmed, signup.Waiting)

	move := url.Values{"outcome": {"other trail"}, "trail": {"2"}, "reason": {"The wash is closed."}}
	decide := func(want int) sitetest.Page { return leader.Post("/hikes/1/decide", move).Want(want) }
	decide(http.StatusUnprocessableEntity).Shows("no qualification on record")
	today := unit.DateOf(time.Now())
	closure := trail.Closure{Trail: steep, From: today, Why: "Nesting", Source: "warden", Blocks: true,
		Noted: time.Now()}
	if err := s.DB.AddClosure(ctx, closure); err != nil {
		t.Fatal(err)
	}
	decide(http.StatusUnprocessableEntity).Shows("closed that day")
	if err := s.DB.RemoveClosure(ctx, steep, 1); err != nil {
		t.Fatal(err)
	}
	qualify(t, s, 2, today)
	qualify(t, s, 3, today)
	decide(http.StatusSeeOther)

	if got := s.Hike(t, 1); got.Trail != steep || got.Title != "Lantern Ridge at dawn" {
		t.Errorf("hike on trail %d, called %q; want trail %d, Lantern Ridge at dawn", got.Trail, got.Title, steep)
	}
	wantStates(t, s, signup.Offered, signup.Asked, signup.Waiting)
	if n := s.SignUps(t, 1)[1]; !n.HoldsPlace(time.Now()) {
		t.Error("the place of who has a talk first is not kept")
	}
	leader.Get("/hikes/1/screening").Shows("Wren Abara", "No walk of the last eight weeks")
	links, _ := announced(t, s)
	anybody.Get(links[amaya]).Shows("I agree to the harder walk", "The wash is closed.", "Distance: 11.1 km, no longer")
	anybody.Get(links[wren]).Shows("The leader would like a word with you first", "No walk of the last eight weeks").
		Hides("I agree to the harder walk")
	anybody.Post(links[amaya], url.Values{"answer": {"yes"}})
	anybody.Post(links[wren], url.Values{"answer": {"no"}})
	wantStates(t, s, signup.Confirmed, signup.Withdrawn, signup.Offered) // the next is offered the place at once
	if !slices.ContainsFunc(s.Mails(t), func(m message.Mail) bool {
		return m.To == "next@example.org" && strings.HasPrefix(m.Key, "offered/")
	}) {
		t.Error("no mail offers the place to the next")
	}
}

func wantStates(t *testing.T, s *sitetest.Site, want ...signup.State) {
	t.Helper()
	var got []signup.State
	for _, p := range s.SignUps(t, 1) {
		got = append(got, p.State)
	}
	if !slices.Equal(got, want) {
		t.Fatalf("places are %v, want %v", got, want)
	}
}

// addRidge stores a second trail, of a harder class.
func addRidge(t *testing.T, s *sitetest.Site) ref.Trail {
	t.Helper()
	ridge := sitetest.DryFork()
	ridge.Name, ridge.Surface = "Lantern Ridge", walk.Rocky
	ridge.Profile = sitetest.Straight(500, 2, track.OutAndBack)
	id, err := sitetest.AddTrail(context.Background(), s.DB, ridge)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// qualify gives an account every certificate, and the approval to lead anything.
func qualify(t *testing.T, s *sitetest.Site, id ref.Account, today unit.Date) {
	t.Helper()
	ctx := context.Background()
	kinds, err := s.DB.CertificateKinds(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range kinds {
		certificate := team.Certificate{Account: id, Kind: k.Name, Through: today.Add(400)}
		if err := s.DB.AddCertificate(ctx, certificate); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.DB.AddApproval(ctx, id, team.Approval{
		From:     today.Add(-400),
		Level:    team.LevelLeader,
		Status:   team.StatusActive,
		MaxClass: track.VeryStrenuous,
		By:       "Juniper Vale",
		Written:  time.Now(),
	}); err != nil {
		t.Fatal(err)
	}
}
