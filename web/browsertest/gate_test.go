package browsertest

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/google/uuid"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

const reason = "Amaya gets two litres from Wren"

// Without signal one walker has far too little water: the phone itself stops the party, takes a
// reason, and the server's record says both. Then the phone has what rescuers ask for.
func TestDepartureIsCheckedWithoutSignal(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Planned, time.Now)
	all := everybodyIsHere(t, s)
	a := newAirwave(t, s.URL)
	p := openPhone(t, a, sitetest.Leader, "")
	p.Sees("This phone is ready for the trail")
	a.cut()
	amaya := s.People(t, 1)["Amaya Reyes"]
	p.thumb("[data-form=water-all] button")
	p.Sees("and everyone has it")
	p.unfolds("water")
	p.ticks("water", amaya)
	p.Fill("[data-form=water] form", map[string]string{"litres": "0.3"})
	p.thumb("[data-form=water] button[value=water]")
	p.Sees("Not enough even with the car's spare water: Amaya Reyes")
	p.Look()
	leave := "#roll button[value=departed]"
	p.thumb(leave)
	p.Sees("To leave all the same, write the reason")
	p.Fill("#roll form:has(button[value=departed])", map[string]string{"reason": reason})
	p.thumb(leave)
	p.big(fmt.Sprintf("%d out", all))
	p.Sees("too little water: Amaya Reyes: the reason written: " + reason)
	p.counts("Notch Junction", fmt.Sprint(all), "")
	handOverWithoutSignal(t, s, p, amaya)
	a.restore()
	p.sent()
	departure := s.Roll(t, 1).State().Departure
	if !slices.Contains(departure.Against, "too little water: Amaya Reyes") || departure.Reason != reason {
		t.Errorf("departure %+v; want the water against it, and the reason", departure)
	}
	p.reloads()
	p.Sees("the reason written: " + reason)
	if strings.Contains(p.Text("#roll"), "no reason was written") {
		t.Error("the roll says that no reason was written")
	}
}

func everybodyIsHere(t *testing.T, s *sitetest.Site) int {
	t.Helper()
	here := party.Event{
		ID: party.EventID(uuid.NewString()), Kind: party.KindHere, At: time.Now().Add(-time.Minute), By: "Ash Moreno",
	}
	for _, e := range s.Roll(t, 1).Roster {
		here.Persons = append(here.Persons, e.ID)
	}
	if _, err := s.DB.Append(context.Background(), 1, []party.Event{here}, time.Now()); err != nil {
		t.Fatal(err)
	}
	return len(here.Persons)
}

// handOverWithoutSignal reads the hand-over on the phone, which says where by the trail's own track.
func handOverWithoutSignal(t *testing.T, s *sitetest.Site, p phone, missed party.PersonID) {
	t.Helper()
	p.thumb(".Tabs a[href$='part=help']")
	p.ticks("missing", missed)
	p.Fill("[data-form=missing] form", map[string]string{"place": "the saddle", "seen_by": "Wren Abara"})
	p.thumb("#roll button[value=missing]")
	way, err := s.DB.Trail(context.Background(), s.Hike(t, 1).Trail)
	if err != nil {
		t.Fatal(err)
	}
	notch, start := way.Profile.SampleAt(600).At, way.Profile.SampleAt(0).At
	for _, want := range []string{
		"Hand-over, by this phone", "Amaya Reyes, since", "Wren Abara", "Emergency number",
		"Notch Junction (WGS84 " + format.Position(notch) + "; " + format.DegreesMinutes(notch) + ")",
		format.Position(start), format.DegreesMinutes(start),
	} {
		p.Sees(want)
	}
	p.Look()
	p.reloads()
	p.Sees("Hand-over, by this phone")
	p.Sees("No signal")
	p.thumb(".Roll-links a[href='#sheet']")
	p.Sees("Hand-over, by this phone") // not the browser's own page
}

// A browser without WebAssembly has the page without scripts, and is told so.
func TestRollWithoutWebAssembly(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	p := phone{chromium.Open(t, s.URL, chromium.Phone)}
	p.before("delete globalThis.WebAssembly")
	p.SignIn(sitetest.Leader)
	p.Go(rollPath)
	p.Sees("This phone cannot keep the roll without signal")
	if _, err := chromedp.RunResponse(p.Ctx, chromedp.Click(chromedp.CSS("#roll button[value=here]"))); err != nil {
		t.Fatal(err)
	}
	p.Sees("1 of 5 here")
	if got := len(s.Roll(t, 1).Events); got != 1 {
		t.Errorf("%d records on the server, want the one that was pressed", got)
	}
}

// A kept copy that does not work is not ready.
func TestPhoneWithABrokenCopyIsNotReady(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	p := openPhone(t, newAirwave(t, s.URL), sitetest.Leader, "")
	p.Sees("This phone is ready for the trail")
	p.Ask(`(async () => {
		const cache = await caches.open("saltbush-roll");
		const kept = await cache.match(document.getElementById("roll").dataset.party);
		const headers = new Headers(kept.headers);
		await cache.put(document.getElementById("roll").dataset.program, new Response("no program", { headers }));
		return "";
	})()`)
	p.reloads()
	p.Sees("This phone cannot keep the roll without signal")
}

// The hike's page says whether the phone in hand keeps the roll.
func TestHikePageSaysWhetherThePhoneIsReady(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Crewed, time.Now)
	p := phone{chromium.Open(t, s.URL, chromium.Phone)}
	p.SignIn(sitetest.Leader)
	p.Go("/hikes/1/manage")
	p.Sees("not ready for the trail: the roll has not been opened on this phone")
	p.Go(rollPath)
	p.Sees("This phone is ready for the trail")
	p.Open("/hikes/1/manage")
	p.Sees("This phone is ready for the trail")
	p.Ask(`caches.delete("saltbush-roll").then(() => "")`)
	p.reloads()
	p.Sees("not ready for the trail: the kept copy is gone")
}
