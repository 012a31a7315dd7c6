package browsertest

import (
	"context"
	"slices"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
	"saltbush/internal/watch"
)

// onLookout runs a test on each screen at once, each with an overdue hike, number 1, and tabs
// on the pages of its lookout.
func onLookout(t *testing.T, test func(t *testing.T, l *sitetest.Lookout, s *sitetest.Site, v *chromium.Tab)) {
	t.Helper()
	for _, screen := range chromium.Screens() {
		t.Run(screen.Name, func(t *testing.T) {
			t.Parallel()
			l := sitetest.NewLookout(t)
			l.Overdue(3 * time.Minute)
			l.Watch(time.Now)
			s := l.Pages(time.Now)
			test(t, l, s, chromium.Open(t, s.URL, screen))
		})
	}
}

// On-call opens the link of an alarm, takes it, notes a call, and reads out the hand-over
// sheet. No password is asked for.
func TestAlarm(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onLookout(t, func(t *testing.T, l *sitetest.Lookout, _ *sitetest.Site, v *chromium.Tab) {
		link := l.AlarmLink(t, "oncall1@example.org")
		v.Open(link)
		v.Sees("Now: start asking")
		v.Sees("Jun Takeda")
		v.Press(".Watch-now button")
		v.Sees("On-call 01 has it, since")
		v.Fill(".Watch-notes .Form", map[string]string{"note": "Rang the leader, no answer; wrote to the sweep"})
		v.Press(".Watch-notes .Form button")
		v.Sees("Rang the leader, no answer")
		v.Open(link + "/hand-over")
		v.Sees("Notch Junction")
		v.Sees("7 people are not accounted for")
		pdf := printed(v, 8.27, 11.69)
		if got := pagesOf(pdf); got > 2 {
			t.Errorf("the hand-over sheet takes %d pages, want the call on one and details on another", got)
		}
		keepPrint(v, "hand-over", pdf)
		log, err := l.DB.WatchLog(context.Background(), 1)
		if err != nil {
			t.Fatal(err)
		}
		for _, kind := range []watch.LogKind{watch.LogAcknowledged, watch.LogNote} {
			if !slices.ContainsFunc(log, func(e watch.Logged) bool { return e.Kind == kind && e.By == "On-call 01" }) {
				t.Errorf("log %v has no %s by On-call 01", log, kind)
			}
		}
	})
}

// The board and the watch of an alarm, as a coordinator sees them.
func TestBoardInAlarm(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onLookout(t, func(_ *testing.T, _ *sitetest.Lookout, _ *sitetest.Site, v *chromium.Tab) {
		v.SignIn(sitetest.Coordinator)
		v.Open("/board")
		v.Press(".Board-next button")
		v.Sees("Juniper Vale has it, since")
		v.Open("/board")
		v.Sees("Juniper Vale has it, since")
		v.Open("/hikes/new")
		v.Sees("Their mail address")
	})
}

// A card from writing it to reading who opened it.
func TestCard(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	for _, screen := range chromium.Screens() {
		t.Run(screen.Name, func(t *testing.T) {
			t.Parallel()
			c := sitetest.NewCarded(t)
			v := chromium.Open(t, c.Site.URL, screen)
			writeCard(v, c.Place)
			v.SignIn("leader1@example.org")
			v.Open("/hikes/1/roll?part=start")
			v.Sees("Shade first, then sugar.")
			v.Press("a[href$='/cards/" + c.Person + "']")
			v.Press(submit)
			v.Sees("Write why you open it")
			v.Fill("main form", map[string]string{"reason": "She is confused; what does she take?"})
			v.Press(submit)
			v.Sees("Wasps")
			v.Sees("Opened by Leader 1")
			v.Press("a[href$='/roll']")
			v.Open(c.Place)
			v.Sees("She is confused; what does she take?")
		})
	}
}

func writeCard(v *chromium.Tab, place string) {
	const form = "form.CardForm"
	v.Open(place)
	v.Press("a[href$='/card']")
	v.Fill(form, map[string]string{"action": "Shade first, then sugar.", "allergies": "Wasps", "born": "April 1961"})
	v.Press(form + " button[type=submit]")
	v.Sees("such as 1961-04-30")
	v.Fill(form, map[string]string{"born": "1961-04-30"})
	v.Press(form + " button[type=submit]")
	v.Sees("is written and sealed")
	v.Sees("Nobody has opened it")
}

// What a page leaves out is said on it, with when it opens and to whom.
func TestPagesSayWhatTheyLeaveOut(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	start := time.Now().Add(9 * 24 * time.Hour).Truncate(time.Minute)
	l := sitetest.NewLookout(t)
	before := l.Pages(sitetest.NewClock(start.Add(-96 * time.Hour)).Now)
	during := l.Pages(sitetest.NewClock(start.Add(190 * time.Minute)).Now)
	l.Account("Ines Calder", sitetest.OtherLeader, "", account.Leader)
	p := l.Plant(t, l.Post(1, start))
	t.Run("leader before the hike", func(t *testing.T) {
		onScreens(t, before.URL, func(_ *testing.T, v *chromium.Tab) {
			v.SignIn("leader1@example.org")
			v.Open("/hikes/1/manage#sign-ups")
			v.Sees("Numbers, addresses and whom to ring in need open on the day of the hike, from")
			v.Open("/hikes/1/screening")
			v.Sees("Ring 602-555-7703")
			v.Open("/hikes/1/land-manager")
			v.Sees("Nobody is named")
			v.Sees("Party: 6")
		})
	})
	t.Run("sweep before the hike", func(t *testing.T) {
		onScreens(t, before.URL, func(_ *testing.T, v *chromium.Tab) {
			v.SignIn("leader2@example.org")
			v.Open("/hikes/1/manage#sign-ups")
			v.Sees("Sweep and assistants read the names on the day of the hike, from")
			v.Open("/hikes/1/roll")
			v.Sees("The roll opens to you on the day of the hike, from")
		})
	})
	p.SetOut()
	t.Run("leader of another hike in an alarm", func(t *testing.T) {
		onScreens(t, during.URL, func(_ *testing.T, v *chromium.Tab) {
			v.SignIn(sitetest.OtherLeader)
			v.Open("/hikes/1/watch")
			v.Sees("Their numbers open to whoever takes the alarm.")
			v.Open("/hikes/1/hand-over")
			v.Sees("What is to be done for each of them opens to whoever takes the alarm.")
		})
	})
}
