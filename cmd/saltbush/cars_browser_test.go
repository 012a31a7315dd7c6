package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"saltbush/internal/localpg/pgtest"
)

// The pages of the cars fit the screen and axe-core's rules, from fixed data and in the
// demo, where the long traverse ends elsewhere.
func TestCarsPagesInABrowser(t *testing.T) {
	p := serve(t, "demo", "--data", filepath.Join(pgtest.Folder(t), "demo"))
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, p.base, s)
			for _, name := range []string{"cars", "cars-short", "cars-closed", "place-cars"} {
				v.openState(name)
			}
			v.open("/sign-in")
			v.fill("main form", map[string]string{"email": "odalys.brandtner@example.org", "password": "dry-wash-lantern"})
			v.press("main form button[type=submit]")
			v.open("/")
			find := `[...document.querySelectorAll("main a[href^='/hikes/']")].find(a => a.innerText.includes("Basin Traverse"))?.getAttribute("href") ?? ""`
			path, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](find))
			if err != nil || !strings.HasPrefix(path, "/hikes/") {
				t.Fatalf("the traverse is not in the calendar: %q, %v", path, err)
			}
			v.open(path + "/cars")
			v.sees("Cars at the end")
			v.sees("Kettle Rim end")
		})
	}
}
