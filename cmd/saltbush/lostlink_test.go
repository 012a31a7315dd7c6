package main

import (
	"context"
	"crypto/rand"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
)

// heldPlace stores a walker and returns the path of their page.
func heldPlace(t testing.TB, p staffed, email string) string {
	t.Helper()
	secret, link, err := account.NewLink(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	_, err = p.db.SignUp(context.Background(), signup.SignUp{ID: uuid.NewString(), Hike: 1, Name: "Amaya Reyes", Email: email,
		Mobile: "555 0101 444", EmergencyName: "Teo Reyes", EmergencyPhone: "555 0101 555", LongestWalk: "12 km, four hours, fine",
		Water: 3 * unit.Litre, Acknowledged: true, Asked: time.Now(), Link: link[:]}, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	return "/place/" + secret.Reveal()
}

func askForLink(t testing.TB, p staffed, email string) (int, string) {
	t.Helper()
	res, err := client(t).PostForm(p.base+"/lost-link", url.Values{"email": {email}})
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, _ := io.ReadAll(res.Body)
	return res.StatusCode, string(body)
}

func TestLostLink(t *testing.T) {
	p := serveStaffed(t)
	old := heldPlace(t, p, "Amaya@example.org")
	mustAnswer(t, client(t), p.base+old, http.StatusOK)
	status, unknown := askForLink(t, p, "nobody@example.org")
	again, known := askForLink(t, p, "amaya@example.org")
	if status != http.StatusOK || again != http.StatusOK || known != unknown {
		t.Errorf("a known address is told apart: status %d and %d, same page %v", again, status, known == unknown)
	}
	path := mailedLink(t, p)
	mustAnswer(t, client(t), p.base+old, http.StatusNotFound)
	mustAnswer(t, client(t), p.base+path, http.StatusOK)
}

// mailedLink waits for the mail with the new link.
func mailedLink(t testing.TB, p staffed) string {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		list, err := p.db.Outbox().Recent(context.Background(), 10)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range list {
			if strings.HasPrefix(m.Key, "new-link/") {
				return regexp.MustCompile(`/place/[a-z2-7]{32}`).FindString(m.Text)
			}
		}
	}
	t.Fatal("no mail with a new link")
	return ""
}

func TestPlaceLinkExpiresWithWhatIsKept(t *testing.T) {
	p := serveStaffed(t)
	path := heldPlace(t, p, "amaya@example.org")
	for _, tt := range []struct {
		name string
		ago  time.Duration
		want int
	}{{"after the hike it opens", 89 * 24 * time.Hour, http.StatusOK}, {"then it has expired", 91 * 24 * time.Hour, http.StatusGone}} {
		t.Run(tt.name, func(t *testing.T) {
			err := p.db.ChangeHike(context.Background(), 1, func(h *hike.Hike) error {
				h.Start = time.Now().Add(-tt.ago)
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
			mustAnswer(t, client(t), p.base+path, tt.want)
		})
	}
}

func TestLostLinkPage(t *testing.T) {
	for _, size := range screens() {
		t.Run(size.name, func(t *testing.T) {
			v := browser(t, serveStaffed(t).base, size)
			v.open("/lost-link")
			v.fill("main form", map[string]string{"email": "nowhere"})
			v.press("main form button")
			v.sees("Give an address that mail can reach")
			v.fill("main form", map[string]string{"email": "amaya@example.org"})
			v.press("main form button")
			v.sees("If the address is known")
		})
	}
}
