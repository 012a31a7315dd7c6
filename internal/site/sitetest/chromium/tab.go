package chromium

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"saltbush/internal/site/sitetest"
)

// Screen is the size of a tab's window.
type Screen struct {
	Name          string
	Width, Height int64 // CSS pixels
	Phone         bool  // touched, and twice as dense
}

// The screens that pages are looked at on.
var (
	Phone = Screen{Name: "phone", Width: 390, Height: 844, Phone: true}
	Desk  = Screen{Name: "desk", Width: 1280, Height: 900}
)

// Screens are all that every page must fit.
func Screens() []Screen { return []Screen{Phone, Desk} }

// Tab is somebody with a browser.
type Tab struct {
	T    testing.TB
	Ctx  context.Context // for what the methods here do not do
	Base string          // of the site
	Name string          // in messages and of pictures
}

// patience is how long a tab may live and how long it waits for a page to say something.
// House judgement: the slowest test takes half a minute by itself.
const (
	tabLives = 5 * time.Minute
	patience = 20 * time.Second
	glance   = 20 * time.Millisecond // between two looks at a page
)

// Open returns an empty tab on the site at base. It closes with the test.
func Open(t testing.TB, base string, s Screen) *Tab {
	t.Helper()
	return open(t, base, s, chromedp.WithNewBrowserContext())
}

// OpenInProfile is Open in the profile of the browser, for what browsers deny to private
// windows, such as push messages. All such tabs of a test binary share cookies and storage.
func OpenInProfile(t testing.TB, base string, s Screen) *Tab {
	t.Helper()
	return open(t, base, s)
}

func open(t testing.TB, base string, s Screen, options ...chromedp.ContextOption) *Tab {
	t.Helper()
	ctx, closeTab := chromedp.NewContext(shared(t), options...)
	t.Cleanup(closeTab)
	ctx, end := context.WithTimeout(ctx, tabLives)
	t.Cleanup(end)
	v := &Tab{T: t, Ctx: ctx, Base: base, Name: s.Name}
	if s.Phone {
		touched := []chromedp.EmulateViewportOption{chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch}
		v.Do(chromedp.EmulateViewport(s.Width, s.Height, touched...))
	} else {
		v.Do(chromedp.EmulateViewport(s.Width, s.Height))
	}
	return v
}

// Do carries out actions of chromedp.
func (v *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	v.T.Helper()
	if err := chromedp.Do(v.Ctx, steps...); err != nil {
		v.T.Fatalf("%s: %v\npage: %s", v.Name, err, v.Where())
	}
}

// Where says which page is open, for messages.
func (v *Tab) Where() string {
	const words = `location.href + "\n" + document.body.innerText.slice(0, 1500)`
	text, _ := chromedp.Run(v.Ctx, chromedp.Evaluate[string](words))
	return text
}

// Go loads a page of the site, by its path or a whole address, without looking at it.
func (v *Tab) Go(path string) {
	v.T.Helper()
	if !strings.HasPrefix(path, "http") {
		path = v.Base + path
	}
	v.Do(chromedp.Navigate(path))
}

// Open loads a page of the site and looks at it.
func (v *Tab) Open(path string) {
	v.T.Helper()
	v.Go(path)
	v.Look()
}

// SignIn signs in with the password of the fixtures, without looking at the pages.
func (v *Tab) SignIn(email string) {
	v.T.Helper()
	v.Go("/sign-in")
	v.Fill("main form", map[string]string{"email": email, "password": sitetest.Password})
	v.Follow("main form button[type=submit]")
}

// Fill types into fields of a form by their names, and ticks boxes by their values.
func (v *Tab) Fill(form string, fields map[string]string) {
	v.T.Helper()
	for name, value := range fields {
		js := fmt.Sprintf(`(() => {
			const all = [...document.querySelectorAll(%[1]q + " [name=" + CSS.escape(%[2]q) + "]")];
			if (all.length == 0) return "no field " + %[2]q;
			const choice = all.find(e => (e.type == "radio" || e.type == "checkbox") && (e.value == %[3]q || all.length == 1));
			if (choice) { choice.checked = true; return "" }
			all[0].value = %[3]q;
			return all[0].value == %[3]q ? "" : "field " + %[2]q + " does not take " + %[3]q;
		})()`, form, name, value)
		if wrong := v.Ask(js); wrong != "" {
			v.T.Fatalf("%s: fill %s: %s\npage: %s", v.Name, form, wrong, v.Where())
		}
	}
}

// Follow clicks the element and waits for the page that follows.
func (v *Tab) Follow(selector string) {
	v.T.Helper()
	if _, err := chromedp.RunResponse(v.Ctx, chromedp.Click(chromedp.CSS(selector))); err != nil {
		v.T.Fatalf("%s: press %s: %v\npage: %s", v.Name, selector, err, v.Where())
	}
}

// Press is Follow with a look at the page.
func (v *Tab) Press(selector string) {
	v.T.Helper()
	v.Follow(selector)
	v.Look()
}

// Tap clicks the element where scripts swap the page in place, and waits for the text.
func (v *Tab) Tap(selector, then string) {
	v.T.Helper()
	v.Click(selector)
	v.Sees(then)
}

// Click clicks the element. A page that redraws itself may swap the element away between
// finding and clicking it; then it is looked for again, as a person would.
func (v *Tab) Click(selector string) {
	v.T.Helper()
	var err error
	for range 5 {
		if err = chromedp.Do(v.Ctx, chromedp.Click(chromedp.CSS(selector))); err == nil {
			return
		}
		if !strings.Contains(err.Error(), "node") {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	v.T.Fatalf("%s: click %s: %v\npage: %s", v.Name, selector, err, v.Where())
}

// Sees waits until the page says the text, in capitals or not: stamps are capitals.
func (v *Tab) Sees(text string) {
	v.T.Helper()
	said := func() bool { return strings.Contains(strings.ToLower(v.Text("body")), strings.ToLower(text)) }
	if !Await(patience, said) {
		v.T.Fatalf("%s: the page never says %q\npage: %s", v.Name, text, v.Where())
	}
}

// Changes waits until the element says something else than before.
func (v *Tab) Changes(selector, before string) {
	v.T.Helper()
	if !Await(patience, func() bool { return v.Text(selector) != before }) {
		v.T.Fatalf("%s: %s still says %q\npage: %s", v.Name, selector, before, v.Where())
	}
}

// Arrives waits until the tab is on the page of the path, and looks at it.
func (v *Tab) Arrives(path string) {
	v.T.Helper()
	if !Await(patience, func() bool { return v.Ask(`location.pathname`) == path }) {
		v.T.Fatalf("%s: never on %s\npage: %s", v.Name, path, v.Where())
	}
	v.Look()
}

// Await asks again and again until it is so or the time is over.
func Await(d time.Duration, so func() bool) bool {
	for end := time.Now().Add(d); time.Now().Before(end); time.Sleep(glance) {
		if so() {
			return true
		}
	}
	return false
}

// Text is what the first such element says, "" where there is none.
func (v *Tab) Text(selector string) string {
	v.T.Helper()
	return v.Ask(fmt.Sprintf(`document.querySelector(%q)?.innerText ?? ""`, selector))
}

// URL is the address of the page.
func (v *Tab) URL() string {
	v.T.Helper()
	return v.Ask(`location.href`)
}

// Ask evaluates an expression whose value, or whose promise's, is a text.
func (v *Tab) Ask(js string) string {
	v.T.Helper()
	s, err := chromedp.Run(v.Ctx, chromedp.Evaluate[string](js, chromedp.EvalAwaitPromise))
	if err != nil {
		v.T.Fatalf("%s: %v\n%s", v.Name, err, js)
	}
	return s
}

// Evaluate runs a script for what it does.
func (v *Tab) Evaluate(js string) {
	v.T.Helper()
	if _, err := chromedp.Run(v.Ctx, chromedp.Evaluate[any](js)); err != nil {
		v.T.Fatalf("%s: %v", v.Name, err)
	}
}
