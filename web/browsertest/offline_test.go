package browsertest

import (
	"context"
	"saltbush/internal/party"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

func TestRollWithoutSignal(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	a := newAirwave(t, s.URL)
	p := openPhone(t, a, sitetest.Leader, "")
	p.Look()
	p.thumbsFit()
	a.cut()
	atTheTrailhead(p)
	onTheTrail(p)
	p.thumbsFit()
	if got := len(s.Roll(t, 1).Events); got != 0 {
		t.Fatalf("%d records came through without signal", got)
	}
	p.reloads()
	p.Sees("10 records wait on this phone")
	p.Sees("You record as Ash Moreno")
	p.big("4 out")
	p.Look()

	a.restore()
	p.sent()
	p.big("4 out")
	sameOnTheServer(t, s.Roll(t, 1))
	onlyTheRollIsKept(p)
	nothingIsKeptAfterStandDown(t, s, p)
}

// atTheTrailhead marks everybody here and leaves.
func atTheTrailhead(p phone) {
	p.T.Helper()
	p.marks("here", 1)
	p.Sees("1 record waits on this phone")
	p.Sees("not sent")
	p.marks("here", 4)
	p.big("5 of 5 here")
	p.thumb("#roll button[value=departed]")
	p.big("5 out")
}

// onTheTrail counts, marks one back, and one by mistake, which is taken back.
func onTheTrail(p phone) {
	p.T.Helper()
	p.counts("Notch Junction", "5", "5")
	p.thumb(".Tabs a[href$='part=back']")
	p.marks("back", 1)
	p.big("4 out")
	p.marks("back", 1)
	p.big("3 out")
	p.thumb(".Roll-last button[value=undo]")
	p.big("4 out")
}

func sameOnTheServer(t *testing.T, rec roll.Record) {
	t.Helper()
	state := rec.State()
	if len(rec.Events) != 10 || len(state.OnTrail()) != 4 || state.Expected != 5 || len(state.Flags) != 0 {
		t.Errorf("%d records, %d on the trail, %d expected, flags %+v; want 10, 4, 5, none",
			len(rec.Events), len(state.OnTrail()), state.Expected, state.Flags)
	}
	if c, _ := state.LastCount(); !c.Agrees || c.Place != "Notch Junction" {
		t.Errorf("last count %+v, want one at Notch Junction that agrees", c)
	}
	for _, e := range rec.Events {
		if e.By != "Ash Moreno" || e.Device == "" || !e.DeviceAt.IsZero() || e.Recorded.Before(e.At) {
			t.Errorf("record %+v, want one by Ash Moreno of a device whose clock is right", e)
		}
	}
}

// onlyTheRollIsKept visits other private pages of the hike, which the worker sees go by.
func onlyTheRollIsKept(p phone) {
	p.T.Helper()
	for _, path := range []string{"/hikes/1/manage", "/hikes/1"} {
		p.Go(path)
	}
	for _, path := range strings.Fields(p.kept()) {
		if path != rollPath && !strings.HasPrefix(path, "/assets/") {
			p.T.Errorf("the phone keeps %s", path)
		}
	}
}

func nothingIsKeptAfterStandDown(t *testing.T, s *sitetest.Site, p phone) {
	t.Helper()
	id := party.EventID(uuid.NewString())
	down := party.Event{ID: id, Kind: party.KindStoodDown, At: time.Now(), By: "Oren Vale"}
	if _, err := s.DB.Append(context.Background(), 1, []party.Event{down}, time.Now()); err != nil {
		t.Fatal(err)
	}
	p.Go(rollPath)
	p.Sees("not kept on this phone")
	if got := p.kept(); got != "nothing" {
		t.Errorf("after standing down the phone keeps %s, want nothing", got)
	}
}

// Leader and sweep count apart, both without signal, and do not agree.
func TestTwoPhonesDisagree(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	s.Depart(t)
	a := newAirwave(t, s.URL)
	leader := openPhone(t, a, sitetest.Leader, "")
	sweep := openPhone(t, a, sitetest.OtherLeader, "")
	a.cut()
	leader.counts("Notch Junction", "5", "")
	sweep.counts("Notch Junction", "", "4")
	sweep.Sees("4 counted at Notch Junction, 5 expected")
	a.restore()
	leader.sent()
	sweep.sent()
	for _, p := range []phone{leader, sweep} {
		p.reloads() // the phone that sent first has not heard of the other yet
		p.Sees("the leader counted 5 and the sweep 4")
	}
	if c, _ := s.Roll(t, 1).State().LastCount(); c.Leader != 5 || c.Sweep != 4 || len(c.Events) != 2 {
		t.Errorf("last count %+v; want 5 and 4 of two records", c)
	}
}

// fast sets the clock of a page 20 minutes ahead.
const fast = `(() => {
	const Right = Date, ahead = 20 * 60000;
	globalThis.Date = class extends Right {
		constructor(...given) { if (given.length > 0) super(...given); else super(Right.now() + ahead); }
		static now() { return Right.now() + ahead; }
	};
})()`

func TestPhoneWithAFastClock(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	a := newAirwave(t, s.URL)
	p := openPhone(t, a, sitetest.Leader, fast)
	a.cut()
	before := time.Now()
	p.marks("here", 2)
	after := time.Now()
	a.restore()
	p.sent()
	p.Sees("clock is 20 minutes fast")
	rec := s.Roll(t, 1)
	if len(rec.Events) != 2 {
		t.Fatalf("%d records, want 2", len(rec.Events))
	}
	for _, e := range rec.Events {
		if e.At.Before(before.Add(-5*time.Second)) || e.At.After(after.Add(5*time.Second)) {
			t.Errorf("at %v, want between %v and %v", e.At, before, after)
		}
		if ahead := e.DeviceAt.Sub(e.At); ahead < 19*time.Minute || ahead > 21*time.Minute {
			t.Errorf("the device's own time is %v ahead, want 20 min", ahead)
		}
	}
	if flags := rec.State().Flags; len(flags) != 0 {
		t.Errorf("flags %+v, want none", flags)
	}
}

// What the server refuses stays on the phone, with the reason.
func TestRefusedRecordStaysOnThePhone(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	a := newAirwave(t, s.URL)
	p := openPhone(t, a, sitetest.Leader, "")
	a.cut()
	p.marks("here", 1)
	s.ChangeHike(t, 1, func(h *hike.Hike) { h.State = hike.CalledOff })
	a.restore()
	const reason = "This hike is called off; its roll takes no records"
	p.Sees("1 record was refused")
	p.Sees(reason)
	p.reloads()
	p.Sees(reason)
}

// A sweep without an account scans the code, loses the signal, and goes on.
func TestDayLinkWithoutSignal(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	a := newAirwave(t, s.URL)
	link := s.SignIn(t, sitetest.Leader).MakeDayLink("Sam Ortolan", "sweep")
	p := phone{chromium.Open(t, a.base(), chromium.Phone)}
	p.Go(link)
	p.Sees("You record as day link Sam Ortolan")
	p.Sees("works without signal")
	p.Look()
	a.cut()
	p.marks("here", 2)
	p.reloads()
	p.Sees("2 records wait on this phone")
	a.restore()
	p.sent()
	for _, e := range s.Roll(t, 1).Events {
		if e.By != "day link Sam Ortolan" {
			t.Errorf("%s by %q, want day link Sam Ortolan", e.Kind, e.By)
		}
	}
}
