package browsertest

import (
	"strings"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/serviceworker"
	"github.com/chromedp/chromedp"

	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

// The desk offers to wake the phone. The worker shows each alarm that a push service hands it
// once.
func TestPushedAlarmIsShownOnce(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	l := sitetest.NewLookout(t)
	s := l.Pages(time.Now)
	v := chromium.OpenInProfile(t, s.URL, chromium.Phone)
	v.SignIn(sitetest.Coordinator)
	v.Open("/desk")
	allowNotifications(t, v)
	v.Open("/desk")
	v.Sees("Wake this phone")
	// No push service is reached from a test: the script says so and the page stays.
	v.Click("#wake-ask")
	v.Sees("push service")
	v.Look()
	v.Ask(`navigator.serviceWorker.getRegistration("/wake/")
		.then(r => { if (!r?.active) throw new Error("no worker"); return "" })`)
	push := serviceworker.DeliverPushMessageParams{
		Origin:         s.URL,
		RegistrationID: workerID(t, v),
		Data:           `{"key":"k1","title":"START ASKING: Dry Fork","body":"Due 11:21.","url":"/board"}`,
	}
	for range 2 {
		if _, err := chromedp.Call(v.Ctx, serviceworker.DeliverPushMessage, push); err != nil {
			t.Fatal(err)
		}
	}
	chromium.Await(sitetest.Patience, func() bool { return alarmsShown(v) != "" })
	time.Sleep(500 * time.Millisecond) // for the second
	if got := alarmsShown(v); got != "START ASKING: Dry Fork" {
		t.Errorf("shown: %q, want the alarm once", got)
	}
}

func allowNotifications(t *testing.T, v *chromium.Tab) {
	t.Helper()
	notifications := &cdpbrowser.PermissionDescriptor{Name: "notifications"}
	grant := cdpbrowser.SetPermissionParams{Permission: notifications, Setting: "granted", Origin: v.Base}
	if _, err := chromedp.CallBrowser(v.Ctx, cdpbrowser.SetPermission, grant); err != nil {
		t.Fatal(err)
	}
}

// alarmsShown are the titles of what the worker shows on the phone.
func alarmsShown(v *chromium.Tab) string {
	v.T.Helper()
	return v.Ask(`navigator.serviceWorker.getRegistration("/wake/")
		.then(r => r.getNotifications()).then(n => n.map(x => x.title).join(";"))`)
}

// workerID is how the browser numbers the worker that shows alarms.
func workerID(t *testing.T, v *chromium.Tab) serviceworker.RegistrationID {
	t.Helper()
	seen := make(chan serviceworker.RegistrationID, 100)
	err := chromedp.Listen(v.Ctx, func(ev any) {
		e, ok := ev.(*serviceworker.EventWorkerRegistrationUpdated)
		if !ok {
			return
		}
		for _, r := range e.Registrations {
			if strings.HasSuffix(r.ScopeURL, "/wake/") && strings.HasPrefix(r.ScopeURL, v.Base) {
				seen <- r.RegistrationID
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(v.Ctx, serviceworker.Enable, cdp.Empty{}); err != nil {
		t.Fatal(err)
	}
	select {
	case id := <-seen:
		return id
	case <-time.After(sitetest.Patience):
		t.Fatal("the worker is not registered")
	}
	return ""
}
