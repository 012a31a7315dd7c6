package signups_test

import (
	"context"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/site"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/unit"
)

func byClock(c *sitetest.Clock) func(*site.Options) {
	return func(o *site.Options) { o.Now = c.Now }
}

// goesTomorrow makes the hike one of tomorrow that goes, with a plan.
func goesTomorrow(t testing.TB, s *sitetest.Site) {
	t.Helper()
	now := time.Now()
	s.ChangeHike(t, 1, func(h *hike.Hike) {
		h.Start, h.Meet = now.Add(20*time.Hour), now.Add(19*time.Hour)
		h.Forecast = &plan.Forecast{Low: 12, High: 27, DewPoint: 4, Wind: unit.Speed(2), Cloud: 0.1}
		h.Decision = hike.Decision{Go: true, Outcome: hike.Goes, By: "Ash Moreno", At: now}
	})
	if err := sitetest.SavePlan(context.Background(), s.DB, now); err != nil {
		t.Fatal(err)
	}
}

// A reminder names the address where it is stopped. Opening that address stops nothing; one
// press without signing in does. What is decided about the hike still comes.
func TestReminderIsStoppedByOnePress(t *testing.T) {
	t.Parallel()
	room := openMailroom(t)
	s := sitetest.Start(t, sitetest.Staffed, room.sends(t))
	leader, anybody := s.SignIn(t, sitetest.Leader), s.Visitor(t)
	goesTomorrow(t, s)
	join := func(name, email string) { sitetest.AddSignUp(t, s.DB, sitetest.Walker(name, email)) }
	join("Amaya Reyes", "Amaya@example.org")
	path := stopPath(t, s, room)
	for range 2 {
		anybody.Get(path).Want(http.StatusOK).Shows("You get reminders before a hike", "amaya@example.org")
	}
	stopped := anybody.Post(path, url.Values{"List-Unsubscribe": {"One-Click"}}).Want(http.StatusOK)
	stopped.Shows("You get no more reminders before a hike")

	join("Amaya Reyes with her son", "amaya@EXAMPLE.org") // the same address by the rules of mail
	join("Wren Abara", "wren@example.org")
	if got := room.next(t).Header.Get("To"); got != "<wren@example.org>" {
		t.Errorf("a reminder to %s, want the one to Wren alone", got)
	}
	anybody.Post(path, url.Values{"choice": {"again"}}).Want(http.StatusOK).Shows("You get reminders")
	anybody.Post(path, nil)
	anybody.Post("/mail/"+strings.Repeat("a", 32), nil).Want(http.StatusNotFound)

	leader.Post("/hikes/1/call-off", url.Values{"reason": {"Storm upstream."}}).Want(http.StatusSeeOther)
	count := map[string]int{}
	for range 3 {
		off := room.next(t)
		if off.Header.Get("List-Unsubscribe")+off.Header.Get("List-Unsubscribe-Post") != "" {
			t.Errorf("mail %q can be stopped, want one that cannot", off.Header.Get("Subject"))
		}
		count[strings.ToLower(off.Header.Get("To"))]++
	}
	if got := count["<amaya@example.org>"]; got != 2 {
		t.Errorf("calling off was mailed to %v, want two to Amaya", count)
	}
}

// stopPath is where the next mail, a reminder, says that it is stopped.
func stopPath(t testing.TB, s *sitetest.Site, room mailroom) string {
	t.Helper()
	reminder := room.next(t)
	text, err := io.ReadAll(reminder.Body)
	if err != nil {
		t.Fatal(err)
	}
	at := strings.Trim(reminder.Header.Get("List-Unsubscribe"), "<>")
	path, own := strings.CutPrefix(at, s.URL)
	if !own || !strings.HasPrefix(path, "/mail/") || !strings.Contains(string(text), "Water to bring") {
		t.Fatalf("stopped at %q, want %s/mail/...\n%s", at, s.URL, text)
	}
	return path
}
