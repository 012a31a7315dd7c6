package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"saltbush/web/storybook"
)

// visitor is somebody with a browser.
type visitor struct {
	t    testing.TB
	ctx  context.Context
	base string
	axe  string
	name string
}

// screen is the size of a browser's window.
type screen struct {
	name          string
	width, height int64
	phone         bool
}

func screens() []screen {
	return []screen{{"phone", 390, 844, true}, {"desk", 1280, 900, false}}
}

// enoughTime is what is kept of the time given to a run for the tests without a browser.
const enoughTime = 4 * time.Minute

// skipLate leaves a browser out when little is left of the time given: on two cores the
// usual ten minutes do not do for all of them, and -timeout=30m does.
func skipLate(t testing.TB) {
	t.Helper()
	timed, ok := t.(interface{ Deadline() (time.Time, bool) })
	if !ok {
		return
	}
	if end, set := timed.Deadline(); set && time.Until(end) < enoughTime {
		t.Skip("too little time is left for a browser: give -timeout=30m to run all")
	}
}

// browser opens a real Chromium with one empty tab. Without one the test is skipped, but
// fails where CI=true.
func browser(t testing.TB, base string, s screen) *visitor {
	t.Helper()
	skipLate(t)
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("no Chromium, and CI needs one")
		}
		t.Skip("no Chromium on this machine")
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true))
	alloc, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(stop)
	ctx, closeTab := chromedp.NewContext(alloc)
	t.Cleanup(closeTab)
	ctx, end := context.WithTimeout(ctx, 8*time.Minute)
	t.Cleanup(end)
	axe, err := os.ReadFile(filepath.Join(root(t), "web/testdata/axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	v := &visitor{t: t, ctx: ctx, base: base, axe: string(axe), name: s.name}
	if s.phone {
		v.do(chromedp.EmulateViewport(s.width, s.height, chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch))
	} else {
		v.do(chromedp.EmulateViewport(s.width, s.height))
	}
	return v
}

func (v *visitor) do(steps ...chromedp.Action[chromedp.Void]) {
	v.t.Helper()
	if err := chromedp.Do(v.ctx, steps...); err != nil {
		v.t.Fatalf("%s: %v\npage: %s", v.name, err, v.where())
	}
}

// where says which page the visitor is on, for messages.
func (v *visitor) where() string {
	text, _ := chromedp.Run(v.ctx, chromedp.Evaluate[string](`location.href + "\n" + document.body.innerText.slice(0, 1500)`))
	return text
}

// open loads a page of the site and looks at it.
func (v *visitor) open(path string) {
	v.t.Helper()
	if !strings.HasPrefix(path, "http") {
		path = v.base + path
	}
	v.do(chromedp.Navigate(path))
	v.look()
}

// states serves every page state from fixed data, for all tests of the package.
var states = sync.OnceValue(func() *httptest.Server { return httptest.NewServer(storybook.Handler()) })

// openState loads a page state and looks at it.
func (v *visitor) openState(name string) {
	v.t.Helper()
	v.open(states().URL + storybook.Path + "/" + name)
}

// fill types into fields by their names; the form is told as people typing do.
func (v *visitor) fill(form string, fields map[string]string) {
	v.t.Helper()
	for name, value := range fields {
		js := fmt.Sprintf(`(() => {
			const all = [...document.querySelectorAll(%[1]q + " [name=" + CSS.escape(%[2]q) + "]")];
			if (all.length == 0) return "no field " + %[2]q;
			const choice = all.find(e => (e.type == "radio" || e.type == "checkbox") && (e.value == %[3]q || all.length == 1));
			if (choice) { choice.checked = true; return "" }
			all[0].value = %[3]q;
			return all[0].value == %[3]q ? "" : "field " + %[2]q + " does not take " + %[3]q;
		})()`, form, name, value)
		wrong, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](js))
		if err != nil || wrong != "" {
			v.t.Fatalf("%s: fill %s: %s %v\npage: %s", v.name, form, wrong, err, v.where())
		}
	}
}

// press clicks the element and waits for the page that follows.
func (v *visitor) press(selector string) {
	v.t.Helper()
	if _, err := chromedp.RunResponse(v.ctx, chromedp.Click(chromedp.CSS(selector))); err != nil {
		v.t.Fatalf("%s: press %s: %v\npage: %s", v.name, selector, err, v.where())
	}
	v.look()
}

// tap clicks the element where scripts swap the page in place, and waits for the text.
func (v *visitor) tap(selector, then string) {
	v.t.Helper()
	v.click(selector)
	v.sees(then)
}

// click clicks the element. A page that redraws itself may swap the element away between
// finding and clicking it; then it is looked for again, as a person would.
func (v *visitor) click(selector string) {
	v.t.Helper()
	var err error
	for range 5 {
		if err = chromedp.Do(v.ctx, chromedp.Click(chromedp.CSS(selector))); err == nil {
			return
		}
		if !strings.Contains(err.Error(), "node") {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	v.t.Fatalf("%s: click %s: %v\npage: %s", v.name, selector, err, v.where())
}

// sees waits until the page says the text, in capitals or not: stamps are capitals.
func (v *visitor) sees(text string) {
	v.t.Helper()
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if strings.Contains(strings.ToLower(v.text("body")), strings.ToLower(text)) {
			return
		}
	}
	v.t.Fatalf("%s: the page never says %q\npage: %s", v.name, text, v.where())
}

func (v *visitor) text(selector string) string {
	s, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](fmt.Sprintf(`document.querySelector(%q)?.innerText ?? ""`, selector)))
	if err != nil {
		v.t.Fatalf("%s: read %s: %v", v.name, selector, err)
	}
	return s
}

func (v *visitor) url() string {
	s, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](`location.href`))
	if err != nil {
		v.t.Fatal(err)
	}
	return s
}

// look checks the page that is open: nothing wider than the screen, and nothing that the
// accessibility rules of axe-core fault. With SALTBUSH_SHOTS set it keeps a picture there.
func (v *visitor) look() {
	v.t.Helper()
	v.settle()
	wide, err := chromedp.Run(v.ctx, chromedp.Evaluate[bool](`document.documentElement.scrollWidth > document.documentElement.clientWidth`))
	if err != nil {
		v.t.Fatal(err)
	}
	if wide {
		v.t.Errorf("%s: the page is wider than the screen: %s", v.name, v.url())
	}
	v.checkAccess()
	v.shoot()
}

// settle waits until a page stands that no redirect takes away.
func (v *visitor) settle() {
	for at, tries := 0, 0; at < 3 && tries < 100; tries++ {
		ready, err := chromedp.Run(v.ctx, chromedp.Evaluate[bool](`document.readyState == "complete"`))
		if at++; err != nil || !ready {
			at = 0
		}
		time.Sleep(30 * time.Millisecond)
	}
}

func (v *visitor) checkAccess() {
	v.t.Helper()
	v.evaluate(v.axe + ";true")
	found, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](
		`axe.run().then(r => JSON.stringify(r.violations.map(x => ({id: x.id, help: x.help, at: x.nodes.map(n => n.html).slice(0, 3)}))))`,
		chromedp.EvalAwaitPromise))
	if err != nil {
		v.t.Fatalf("%s: axe: %v", v.name, err)
	}
	var faults []struct {
		ID, Help string
		At       []string
	}
	if err := json.Unmarshal([]byte(found), &faults); err != nil {
		v.t.Fatal(err)
	}
	for _, f := range faults {
		v.t.Errorf("%s: %s: %s (%s): %s", v.name, v.url(), f.ID, f.Help, strings.Join(f.At, " | "))
	}
}

func (v *visitor) evaluate(js string) {
	v.t.Helper()
	if _, err := chromedp.Run(v.ctx, chromedp.Evaluate[any](js)); err != nil {
		v.t.Fatalf("%s: %v", v.name, err)
	}
}

var shots int

func (v *visitor) shoot() {
	dir := os.Getenv("SALTBUSH_SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(v.ctx, chromedp.FullScreenshot(90))
	if err != nil {
		v.t.Fatal(err)
	}
	shots++
	path := strings.Trim(strings.NewReplacer("/", "-", "?", "-", "=", "-").Replace(strings.TrimPrefix(v.url(), v.base)), "-")
	if len(path) > 40 {
		path = path[:40]
	}
	if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%02d-%s.png", v.name, shots, path)), png, 0o644); err != nil {
		v.t.Fatal(err)
	}
}
