package main

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strings"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/serviceworker"
	"github.com/chromedp/chromedp"

	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

func (v *visitor) enters(email string) {
	v.t.Helper()
	v.open("/sign-in")
	v.fill("main form", map[string]string{"email": email, "password": samplePassword})
	v.press("main form button")
}

// slowLine serves a site on another address, where the script of the live line comes late,
// as it may on a phone's first visit.
func slowLine(t *testing.T, base string) string {
	t.Helper()
	to, err := url.Parse(base)
	if err != nil {
		t.Fatal(err)
	}
	proxy := httputil.NewSingleHostReverseProxy(to)
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.Contains(r.URL.Path, "hx-sse") {
			time.Sleep(300 * time.Millisecond)
		}
		proxy.ServeHTTP(w, r)
	}))
	t.Cleanup(s.CloseClientConnections)
	return s.URL
}

// Board and watch show within moments what another instance stored, and what somebody is
// writing meanwhile stays.
func TestLivePagesInABrowser(t *testing.T) {
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			l := newLookout(t)
			l.letIn(coordinatorMail)
			h := overdue(t, l, -30*time.Minute)
			other := l.post(2, time.Now().Add(-time.Hour).Truncate(time.Minute))
			l.depart(other, other.Start)
			p := serve(t, "serve", "--database-url", l.dsn)
			v := browser(t, slowLine(t, p.base), s)
			v.enters(coordinatorMail)
			v.open("/board")
			v.sees("8 of 8 at Notch Junction")
			v.evaluate(`window.stillHere = true`)
			took := map[string]time.Duration{}
			timed := func(name, text string, change func()) {
				from := time.Now()
				change()
				v.sees(text)
				took[name] = time.Since(from).Round(10 * time.Millisecond)
			}
			timed("a count", "6 of 8 at Notch Junction", func() {
				l.record(h, roll.KindCounted, time.Now(), func(e *roll.Event) { e.Number, e.Sweep, e.Place, e.Along = 6, 6, "Notch Junction", 900 })
			})
			timed("help", "distress", func() {
				l.record(other, roll.KindReported, time.Now(), func(e *roll.Event) { e.Trouble, e.Note = true, "a fall below the notch" })
			})
			if first := v.text(".Board-party:first-child"); !strings.Contains(first, "Dry Fork 02") {
				t.Errorf("on top stands %q, want the party that asks for help", first)
			}
			v.press(fmt.Sprintf("#party-%d .Board-trail a", other.ID))
			v.evaluate(`document.querySelector("[name=note]").value = "half a sentence"; window.stillHere = true`)
			timed("a note, on the watch", "the lot is empty", func() {
				if err := l.db.AddToLog(context.Background(), watch.Logged{Hike: other.ID, At: time.Now(), Kind: watch.LogNote, By: "Rosa", Note: "the lot is empty"}); err != nil {
					t.Fatal(err)
				}
			})
			if got, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](`String(window.stillHere) + document.querySelector("[name=note]").value`)); err != nil || got != "truehalf a sentence" {
				t.Errorf("after the change the page holds %q, %v", got, err)
			}
			v.look()
			v.open("/board/today")
			v.sees("ASKS FOR HELP: a fall below the notch")
			v.sees("Counted 6")
			t.Logf("seen after %v", took)
		})
	}
}

// The desk offers to wake the phone; the worker shows what a push service hands it once.
func TestWakeInABrowser(t *testing.T) {
	l := newLookout(t)
	l.letIn(coordinatorMail)
	p := serve(t, "serve", "--database-url", l.dsn)
	v := browser(t, p.base, screens()[0])
	v.enters(coordinatorMail)
	v.open("/desk")
	grant := cdpbrowser.SetPermissionParams{Permission: &cdpbrowser.PermissionDescriptor{Name: "notifications"}, Setting: "granted", Origin: p.base}
	if _, err := chromedp.CallBrowser(v.ctx, cdpbrowser.SetPermission, grant); err != nil {
		t.Fatal(err)
	}
	v.open("/desk")
	v.sees("Wake this phone")
	// No push service is reached from a test: the script says so and the page stands.
	v.click("#wake-ask")
	v.sees("push service")
	v.look()
	v.evaluate(`navigator.serviceWorker.getRegistration("/wake/").then(r => { if (!r?.active) throw new Error("no worker") })`)
	push := serviceworker.DeliverPushMessageParams{Origin: p.base, RegistrationID: workerNumber(t, v), Data: `{"key":"k1","title":"START ASKING: Dry Fork","body":"Due 11:21.","url":"/board"}`}
	deliver := func() {
		if _, err := chromedp.Call(v.ctx, serviceworker.DeliverPushMessage, push); err != nil {
			t.Fatal(err)
		}
	}
	deliver()
	deliver()
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end) && alarmsShown(v) == ""; {
		time.Sleep(100 * time.Millisecond)
	}
	time.Sleep(500 * time.Millisecond) // for the second
	if shown := alarmsShown(v); shown != "START ASKING: Dry Fork" {
		t.Errorf("shown: %q, want the alarm once", shown)
	}
}

// alarmsShown are the titles of what the worker shows on the phone.
func alarmsShown(v *visitor) string {
	v.t.Helper()
	shown, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](`navigator.serviceWorker.getRegistration("/wake/").then(r => r.getNotifications()).then(n => n.map(x => x.title).join(";"))`, chromedp.EvalAwaitPromise))
	if err != nil {
		v.t.Fatal(err)
	}
	return shown
}

// workerNumber is how the browser numbers the worker that shows alarms.
func workerNumber(t *testing.T, v *visitor) serviceworker.RegistrationID {
	t.Helper()
	seen := make(chan serviceworker.RegistrationID, 100)
	if err := chromedp.Listen(v.ctx, func(ev any) {
		if e, ok := ev.(*serviceworker.EventWorkerRegistrationUpdated); ok {
			for _, r := range e.Registrations {
				if strings.HasSuffix(r.ScopeURL, "/wake/") {
					seen <- r.RegistrationID
				}
			}
		}
	}); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(v.ctx, serviceworker.Enable, cdp.Empty{}); err != nil {
		t.Fatal(err)
	}
	select {
	case id := <-seen:
		return id
	case <-time.After(10 * time.Second):
		t.Fatal("the worker is not registered")
	}
	return ""
}
