package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/unit"
)

const rollOne = "/hikes/1/roll"

// serveForTwo is a site whose hike has a leader, a sweep, somebody on call and three
// walkers: five on the roll.
func serveForTwo(t testing.TB) staffed {
	t.Helper()
	p := serveStaffed(t)
	ctx := context.Background()
	sweep, err := p.db.AccountStore().AccountByEmail(ctx, "other@example.org")
	if err != nil {
		t.Fatal(err)
	}
	err = p.db.ChangeHike(ctx, 1, func(h *hike.Hike) error {
		h.Staff = append(h.Staff, team.Staff{Person: uuid.NewString(), Account: sweep.ID, Role: team.Sweep})
		h.OnCall = team.Contact{Name: "Oren Vale", Phone: "555 0101 333"}
		h.Start = time.Now().Add(20 * time.Hour) // it is the hike's day: a sweep reads the names
		h.Meet = h.Start.Add(-30 * time.Minute)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"Amaya Reyes", "Bashir Noor", "Lotte Vandermeer"} {
		addWalker(t, p, name)
	}
	return p
}

func addWalker(t testing.TB, p staffed, name string) {
	t.Helper()
	_, link, err := account.NewLink(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	made, err := p.db.SignUp(context.Background(), signup.SignUp{ID: uuid.NewString(), Hike: 1, Name: name, Email: "walker@example.org",
		Mobile: "555 0101 444", EmergencyName: "Teo Reyes", EmergencyPhone: "555 0101 555", LongestWalk: "12 km, four hours, fine",
		Water: 3 * unit.Litre, Acknowledged: true, Asked: time.Now(), Link: link[:]}, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	if made.State != signup.Confirmed {
		t.Fatalf("%s is %s, want confirmed", name, made.State)
	}
}

func (p staffed) roll(t testing.TB) roll.Record {
	t.Helper()
	rec, err := p.db.Record(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

// airwave is the way between a phone and the site, which can be cut: then nobody listens
// at the address and every connection is gone, as for the service worker so for the page.
type airwave struct {
	t        testing.TB
	to, addr string
	mu       sync.Mutex
	listener net.Listener
	open     map[net.Conn]bool
}

func newAirwave(t testing.TB, base string) *airwave {
	s := &airwave{t: t, to: strings.TrimPrefix(base, "http://"), addr: "127.0.0.1:0", open: map[net.Conn]bool{}}
	s.restore()
	t.Cleanup(s.cut)
	return s
}

func (s *airwave) base() string { return "http://" + s.addr }

func (s *airwave) restore() {
	s.t.Helper()
	l, err := net.Listen("tcp", s.addr)
	if err != nil {
		s.t.Fatal(err)
	}
	s.listener, s.addr = l, l.Addr().String()
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go s.carry(c)
		}
	}()
}

func (s *airwave) carry(phone net.Conn) {
	site, err := net.Dial("tcp", s.to)
	if err != nil {
		phone.Close()
		return
	}
	s.mu.Lock()
	s.open[phone], s.open[site] = true, true
	s.mu.Unlock()
	go func() { _, _ = io.Copy(site, phone); site.Close() }()
	_, _ = io.Copy(phone, site)
	phone.Close()
}

func (s *airwave) cut() {
	s.listener.Close()
	s.mu.Lock()
	defer s.mu.Unlock()
	for c := range s.open {
		c.Close()
		delete(s.open, c)
	}
}

// leads opens a phone of somebody who is signed in and has the roll open and kept.
func leads(t testing.TB, s *airwave, email, script string) *visitor {
	t.Helper()
	v := browser(t, s.base(), screens()[0])
	v.name = email
	if script != "" {
		if _, err := chromedp.Call(v.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script}); err != nil {
			t.Fatal(err)
		}
	}
	v.do(chromedp.Navigate(v.base + "/sign-in"))
	v.fill("main form", map[string]string{"email": email, "password": samplePassword})
	if _, err := chromedp.RunResponse(v.ctx, chromedp.Click(chromedp.CSS("main form button[type=submit]"))); err != nil {
		t.Fatal(err)
	}
	v.do(chromedp.Navigate(v.base + rollOne))
	v.sees("works without signal")
	v.sees("Everything is sent")
	return v
}

// thumb taps the first such element in sight with a finger.
func (v *visitor) thumb(selector string) {
	v.t.Helper()
	js := fmt.Sprintf(`(() => {
		const e = [...document.querySelectorAll(%q)].find(e => e.getClientRects().length > 0);
		if (!e) return [];
		e.scrollIntoView({block: "center", behavior: "instant"});
		const r = e.getBoundingClientRect();
		return [r.x + r.width / 2, r.y + r.height / 2];
	})()`, selector)
	var at []float64
	var err error
	for end := time.Now().Add(10 * time.Second); len(at) == 0 && err == nil && time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		at, err = chromedp.Run(v.ctx, chromedp.Evaluate[[]float64](js))
	}
	if err != nil || len(at) != 2 {
		v.t.Fatalf("%s: nothing to tap at %s: %v\npage: %s", v.name, selector, err, v.where())
	}
	finger := []*input.TouchPoint{{X: at[0], Y: at[1]}}
	for _, touch := range []input.DispatchTouchEventParams{{Type: "touchStart", TouchPoints: finger}, {Type: "touchEnd", TouchPoints: []*input.TouchPoint{}}} {
		if _, err := chromedp.Call(v.ctx, input.DispatchTouchEvent, touch); err != nil {
			v.t.Fatal(err)
		}
	}
}

// marks taps the button of each of n rows and waits for each to show.
func (v *visitor) marks(value string, n int) {
	v.t.Helper()
	for range n {
		before := v.text("#roll .Roll-big")
		v.thumb("#roll button[value=" + value + "]")
		v.changes("#roll .Roll-big", before)
	}
}

// big waits until the large line says the text.
func (v *visitor) big(text string) {
	v.t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if v.text("#roll .Roll-big") == text {
			return
		}
	}
	v.t.Fatalf("%s: the large line says %q, never %q\npage: %s", v.name, v.text("#roll .Roll-big"), text, v.where())
}

// writes enters a count.
func (v *visitor) writes(place, leader, sweep string) {
	v.t.Helper()
	v.fill("#roll form:has([name=leader])", map[string]string{"place": place, "leader": leader, "sweep": sweep})
	v.thumb("#roll button[value=counted]")
	v.sees("Count at " + place)
}

// tells asks the page something that takes a while.
func (v *visitor) tells(js string) string {
	v.t.Helper()
	s, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](js, chromedp.EvalAwaitPromise))
	if err != nil {
		v.t.Fatalf("%s: %v", v.name, err)
	}
	return s
}

// sent waits until nothing is left on the phone; the phone tries again by itself.
func (v *visitor) sent() {
	v.t.Helper()
	for end := time.Now().Add(90 * time.Second); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		if strings.Contains(v.text("#sending"), "Everything is sent") {
			return
		}
	}
	v.t.Fatalf("%s: still waits\npage: %s", v.name, v.where())
}

func TestRollWithoutSignal(t *testing.T) {
	p := serveForTwo(t)
	s := newAirwave(t, p.base)
	v := leads(t, s, "leads@example.org", "")
	v.look()
	thumbsFit(v)
	s.cut()
	atTheTrailhead(v)
	onTheTrail(v)
	thumbsFit(v)
	if n := len(p.roll(t).Events); n != 0 {
		t.Fatalf("%d records came through without signal", n)
	}

	v.do(chromedp.Reload())
	v.sees("10 records wait on this phone")
	v.sees("You record as Ash Moreno")
	v.big("4 out")
	v.checkAccess()

	s.restore()
	v.sent()
	v.big("4 out")
	sameOnTheServer(t, p.roll(t))
	onlyTheRollIsKept(v)
	dropsAfterStandDown(t, p, v)
}

// atTheTrailhead marks everybody here and leaves.
func atTheTrailhead(v *visitor) {
	v.t.Helper()
	v.marks("here", 1)
	v.sees("1 record waits on this phone")
	v.sees("not sent")
	v.marks("here", 4)
	v.big("5 of 5 here")
	v.thumb("#roll button[value=departed]")
	v.big("5 out")
}

// onTheTrail counts, marks one back, and one by mistake, which is taken back.
func onTheTrail(v *visitor) {
	v.t.Helper()
	v.writes("Notch Junction", "5", "5")
	v.thumb(".Tabs a[href$='part=back']")
	v.marks("back", 1)
	v.big("4 out")
	v.marks("back", 1)
	v.big("3 out")
	v.thumb(".Roll-last button[value=undo]")
	v.big("4 out")
}

func sameOnTheServer(t *testing.T, rec roll.Record) {
	t.Helper()
	state := rec.State()
	if len(rec.Events) != 10 || len(state.OnTrail()) != 4 || state.Expected != 5 || len(state.Flags) != 0 {
		t.Errorf("%d records, %d on the trail, %d expected, flags %+v; want 10, 4, 5, none", len(rec.Events), len(state.OnTrail()), state.Expected, state.Flags)
	}
	if c, _ := state.LastCount(); !c.Agrees || c.Place != "Notch Junction" {
		t.Errorf("last count %+v", c)
	}
	for _, e := range rec.Events {
		if e.By != "Ash Moreno" || e.Device == "" || !e.DeviceAt.IsZero() || e.Recorded.Before(e.At) {
			t.Errorf("record %+v", e)
		}
	}
}

// thumbsFit holds every control of the roll in sight to 48 px, which is 12.7 mm.
func thumbsFit(v *visitor) {
	v.t.Helper()
	small := v.tells(`(async () => [...document.querySelectorAll("#roll button, #roll a, #roll summary, #roll select, #roll input, #phone button")]
		.map(e => e.closest("label") ?? e)
		.filter(e => e.type != "hidden" && e.checkVisibility({contentVisibilityAuto: true}))
		.filter(e => { const r = e.getBoundingClientRect(); return r.height < 47.9 || r.width < 47.9 })
		.map(e => e.outerHTML.slice(0, 120) + " " + JSON.stringify(e.getBoundingClientRect())).join("\n"))()`)
	if small != "" {
		v.t.Errorf("too small for a thumb:\n%s", small)
	}
}

const keptPaths = `(async () => (await caches.has("saltbush-roll"))
	? (await (await caches.open("saltbush-roll")).keys()).map(r => new URL(r.url).pathname).join(" ") : "nothing")()`

// onlyTheRollIsKept visits other private pages of the hike, which the worker sees go by.
func onlyTheRollIsKept(v *visitor) {
	v.t.Helper()
	for _, path := range []string{"/hikes/1/manage", "/hikes/1"} {
		v.do(chromedp.Navigate(v.base + path))
	}
	for _, path := range strings.Fields(v.tells(keptPaths)) {
		if path != rollOne && !strings.HasPrefix(path, "/assets/") {
			v.t.Errorf("the phone keeps %s", path)
		}
	}
}

func dropsAfterStandDown(t *testing.T, p staffed, v *visitor) {
	t.Helper()
	down := roll.Event{ID: roll.EventID(uuid.NewString()), Kind: roll.KindStoodDown, At: time.Now(), By: "Oren Vale"}
	if _, err := p.db.Append(context.Background(), 1, []roll.Event{down}, time.Now()); err != nil {
		t.Fatal(err)
	}
	v.do(chromedp.Navigate(v.base + rollOne))
	v.sees("not kept on this phone")
	if kept := v.tells(keptPaths); kept != "nothing" {
		t.Errorf("after standing down the phone keeps %s", kept)
	}
}

// Leader and sweep count apart, both without signal, and do not agree.
func TestTwoPhonesDisagree(t *testing.T) {
	p := serveForTwo(t)
	depart(t, p)
	s := newAirwave(t, p.base)
	leader := leads(t, s, "leads@example.org", "")
	sweep := leads(t, s, "other@example.org", "")
	s.cut()
	leader.writes("Notch Junction", "5", "")
	sweep.writes("Notch Junction", "", "4")
	sweep.sees("the sweep counted 4, and 5 are expected")
	s.restore()
	leader.sent()
	sweep.sent()
	const differ = "the leader counted 5 and the sweep 4"
	for _, v := range []*visitor{leader, sweep} {
		v.do(chromedp.Reload()) // whoever sent first has not heard of the other yet
		v.sees(differ)
	}
	state := p.roll(t).State()
	if c, _ := state.LastCount(); c.Leader != 5 || c.Sweep != 4 || len(c.Events) != 2 {
		t.Errorf("last count %+v; want both numbers of two records", c)
	}
}

// depart records, as with signal, that all five are here and out.
func depart(t testing.TB, p staffed) {
	t.Helper()
	var all []roll.PersonID
	for _, e := range p.roll(t).Roster {
		all = append(all, e.ID)
	}
	at := time.Now().Add(-time.Hour)
	events := []roll.Event{
		{ID: roll.EventID(uuid.NewString()), Kind: roll.KindHere, At: at, By: "Ash Moreno", Persons: all},
		{ID: roll.EventID(uuid.NewString()), Kind: roll.KindDeparted, At: at.Add(time.Minute), By: "Ash Moreno", Persons: all, Number: len(all), Place: "trailhead"},
	}
	if _, err := p.db.Append(context.Background(), 1, events, time.Now()); err != nil {
		t.Fatal(err)
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

func TestPhoneWithWrongClock(t *testing.T) {
	p := serveForTwo(t)
	s := newAirwave(t, p.base)
	v := leads(t, s, "leads@example.org", fast)
	s.cut()
	before := time.Now()
	v.marks("here", 2)
	after := time.Now()
	s.restore()
	v.sent()
	v.sees("clock is 20 minutes fast")
	rec := p.roll(t)
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
		t.Errorf("flags %+v", flags)
	}
}

// What the server refuses stays on the phone, with the reason in words.
func TestRefusedRecordStaysOnThePhone(t *testing.T) {
	p := serveForTwo(t)
	s := newAirwave(t, p.base)
	v := leads(t, s, "leads@example.org", "")
	s.cut()
	v.marks("here", 1)
	if err := p.db.ChangeHike(context.Background(), 1, func(h *hike.Hike) error { h.State = hike.CalledOff; return nil }); err != nil {
		t.Fatal(err)
	}
	s.restore()
	v.sees("1 record was refused")
	v.sees("This hike is called off; its roll takes no records")
	v.do(chromedp.Reload())
	v.sees("This hike is called off; its roll takes no records")
}
