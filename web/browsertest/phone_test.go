package browsertest

import (
	"fmt"
	"saltbush/internal/party"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

const rollPath = "/hikes/1/roll"

// phone is that of somebody who takes the roll.
type phone struct{ *chromium.Tab }

// openPhone signs somebody in and opens the roll, so that it is kept on the phone. The script,
// if any, runs before those of each page.
func openPhone(t testing.TB, a *airwave, email, script string) phone {
	t.Helper()
	p := phone{chromium.Open(t, a.base(), chromium.Phone)}
	p.Name = email
	if script != "" {
		p.before(script)
	}
	p.SignIn(email)
	p.Go(rollPath)
	p.Sees("works without signal")
	p.Sees("Everything is sent")
	return p
}

// before has a script run before those of each page.
func (p phone) before(script string) {
	p.T.Helper()
	params := page.AddScriptToEvaluateOnNewDocumentParams{Source: script}
	if _, err := chromedp.Call(p.Ctx, page.AddScriptToEvaluateOnNewDocument, params); err != nil {
		p.T.Fatal(err)
	}
}

// thumb taps the first such element in sight with a finger.
func (p phone) thumb(selector string) {
	p.T.Helper()
	js := fmt.Sprintf(`(() => {
		const e = [...document.querySelectorAll(%q)].find(e => e.getClientRects().length > 0);
		if (!e) return [];
		e.scrollIntoView({block: "center", behavior: "instant"});
		const r = e.getBoundingClientRect();
		const at = [r.x + r.width / 2, r.y + r.height / 2];
		const still = String(window.tapAt) === String(at); // a thumb waits for what moves
		window.tapAt = at;
		return still ? at : [];
	})()`, selector)
	var at []float64
	if !chromium.Await(sitetest.Patience, func() (found bool) {
		var err error
		at, err = chromedp.Run(p.Ctx, chromedp.Evaluate[[]float64](js))
		return err == nil && len(at) == 2
	}) {
		p.T.Fatalf("%s: nothing to tap at %s\npage: %s", p.Name, selector, p.Where())
	}
	finger := []*input.TouchPoint{{X: at[0], Y: at[1]}}
	for _, touch := range []input.DispatchTouchEventParams{
		{Type: "touchStart", TouchPoints: finger},
		{Type: "touchEnd", TouchPoints: []*input.TouchPoint{}},
	} {
		if _, err := chromedp.Call(p.Ctx, input.DispatchTouchEvent, touch); err != nil {
			p.T.Fatal(err)
		}
	}
}

// marks taps the button of each of n rows and waits for each to show.
func (p phone) marks(value string, n int) {
	p.T.Helper()
	for range n {
		before := p.Text("#roll .Roll-big")
		p.thumb("#roll button[value=" + value + "]")
		p.Changes("#roll .Roll-big", before)
	}
}

// big waits until the large line says the text.
func (p phone) big(want string) {
	p.T.Helper()
	line := func() string { return p.Text("#roll .Roll-big") }
	if !chromium.Await(sitetest.Patience, func() bool { return line() == want }) {
		p.T.Fatalf("%s: the large line says %q, want %q\npage: %s", p.Name, line(), want, p.Where())
	}
}

// counts enters a count.
func (p phone) counts(place, leader, sweep string) {
	p.T.Helper()
	p.Fill("#roll form:has([name=leader])", map[string]string{"place": place, "leader": leader, "sweep": sweep})
	p.thumb("#roll button[value=counted]")
	p.Sees("Count at " + place)
}

// sent waits until nothing is left on the phone. The phone tries again by itself.
func (p phone) sent() {
	p.T.Helper()
	const longest = 90 * time.Second // the phone waits longer after each try
	if !chromium.Await(longest, func() bool { return strings.Contains(p.Text("#sending"), "Everything is sent") }) {
		p.T.Fatalf("%s: records still wait\npage: %s", p.Name, p.Where())
	}
}

// reloads is what a phone does that was put away.
func (p phone) reloads() { p.Do(chromedp.Reload()) }

// unfolds opens a form of the roll. A tap right after another in the same place is the second
// half of a double tap, so it is made again.
func (p phone) unfolds(key string) {
	p.T.Helper()
	open := fmt.Sprintf("String(document.querySelector('[data-form=%s] details').open)", key)
	for range 3 {
		p.thumb(fmt.Sprintf("[data-form=%s] summary", key))
		if chromium.Await(2*time.Second, func() bool { return p.Ask(open) == "true" }) {
			return // else the next tap is aimed at where things were
		}
	}
	p.T.Fatalf("%s: the form %s does not unfold", p.Name, key)
}

// ticks taps the boxes of people in a form.
func (p phone) ticks(key string, people ...party.PersonID) {
	p.T.Helper()
	for _, id := range people {
		p.thumb(fmt.Sprintf("[data-form=%s] [data-tick='%s']", key, id))
	}
}

// thumbsFit holds every control of the roll in sight to 48 px, which is 12.7 mm.
func (p phone) thumbsFit() {
	p.T.Helper()
	small := p.Ask(`[...document.querySelectorAll(
			"#roll button, #roll a, #roll summary, #roll select, #roll input, #phone button")]
		.map(e => e.closest("label") ?? e)
		.filter(e => e.type != "hidden" && e.checkVisibility({contentVisibilityAuto: true}))
		.filter(e => { const r = e.getBoundingClientRect(); return r.height < 47.9 || r.width < 47.9 })
		.map(e => e.outerHTML.slice(0, 120) + " " + JSON.stringify(e.getBoundingClientRect())).join("\n")`)
	if small != "" {
		p.T.Errorf("too small for a thumb:\n%s", small)
	}
}

// kept lists the paths of the pages that the phone keeps, or says "nothing".
func (p phone) kept() string {
	p.T.Helper()
	return p.Ask(`(async () => {
		if (!await caches.has("saltbush-roll")) return "nothing";
		const kept = await (await caches.open("saltbush-roll")).keys();
		return kept.map(r => new URL(r.url).pathname).join(" ");
	})()`)
}
