package browsertest

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"saltbush/internal/party"
	"strings"
	"testing"
	"time"

	"saltbush/internal/ref"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
	"saltbush/internal/watch"
)

// slowScript serves a site on another address, where the script of live pages comes late, as
// it may on a phone's first visit.
func slowScript(t *testing.T, base string) string {
	t.Helper()
	to, err := url.Parse(base)
	if err != nil {
		t.Fatal(err)
	}
	proxy := httputil.NewSingleHostReverseProxy(to)
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.Contains(r.URL.Path, "board-live") {
			time.Sleep(300 * time.Millisecond)
		}
		proxy.ServeHTTP(w, r)
	}))
	t.Cleanup(s.CloseClientConnections)
	return s.URL
}

// Board and watch show within moments what another instance stored. What somebody is writing
// meanwhile stays.
func TestLivePages(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	for _, screen := range chromium.Screens() {
		t.Run(screen.Name, func(t *testing.T) {
			t.Parallel()
			l := sitetest.NewLookout(t)
			h := l.Overdue(-30 * time.Minute)
			other := l.Post(2, time.Now().Add(-time.Hour).Truncate(time.Minute))
			l.Depart(other, other.Start)
			s := sitetest.StartOn(t, l.DSN)
			v := chromium.Open(t, slowScript(t, s.URL), screen)
			v.SignIn(sitetest.Coordinator)
			v.Open("/board")
			v.Sees("8 of 8 at Notch Junction")
			v.Evaluate(`window.stillHere = true`)
			l.Record(h, party.KindCounted, time.Now(), func(e *party.Event) {
				e.Number, e.Sweep, e.Place, e.Along = 6, 6, "Notch Junction", 900
			})
			v.Sees("6 of 8 at Notch Junction")
			l.Record(other, party.KindReported, time.Now(), func(e *party.Event) {
				e.Trouble, e.Note = true, "a fall below the notch"
			})
			v.Sees("distress")
			if got := v.Text(".Board-party:first-child"); !strings.Contains(got, "Dry Fork 02") {
				t.Errorf("on top is %q, want the party that asks for help", got)
			}
			if got := v.Ask(`String(window.stillHere)`); got != "true" {
				t.Errorf("the board was loaded anew, want the same page")
			}
			v.Press(fmt.Sprintf("#party-%d .Board-trail a", other.ID))
			noteComesWhileWriting(t, l, other.ID, v)
			v.Look()
			v.Open("/board/today")
			v.Sees("ASKS FOR HELP: a fall below the notch")
			v.Sees("Counted 6")
		})
	}
}

func noteComesWhileWriting(t *testing.T, l *sitetest.Lookout, id ref.Hike, v *chromium.Tab) {
	t.Helper()
	v.Evaluate(`document.querySelector("[name=note]").value = "half a sentence"; window.stillHere = true`)
	note := watch.Logged{Hike: id, At: time.Now(), Kind: watch.LogNote, By: "Rosa", Note: "the lot is empty"}
	if err := l.DB.AddToLog(context.Background(), note); err != nil {
		t.Fatal(err)
	}
	v.Sees("the lot is empty")
	got := v.Ask(`String(window.stillHere) + " " + document.querySelector("[name=note]").value`)
	if got != "true half a sentence" {
		t.Errorf("after the change the page holds %q, want the same page with half a sentence", got)
	}
}
