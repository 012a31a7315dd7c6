package main

import (
	"path/filepath"
	"testing"

	"saltbush/internal/localpg/pgtest"
)

// Mails that can be stopped and calendars that can be followed, as people meet them.
func TestMailAndCalendarPagesInABrowser(t *testing.T) {
	p := serve(t, "demo", "--data", filepath.Join(pgtest.Folder(t), "demo"))
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, p.base, s)
			for _, name := range []string{"mail-choice", "mail-stopped", "feeds", "feeds-none", "notice", "place"} {
				v.openState(name)
			}
			v.signInAs("odalys.brandtner@example.org", "dry-wash-lantern")
			v.open("/account")
			v.fill("form[action^='/account/feeds']", map[string]string{"feed": "My phone"})
			v.press("form[action='/account/feeds#feeds'] button[type=submit]")
			v.sees("shown this once")
			v.press("form[action$='/end'][action^='/account/feeds/'] button[type=submit]")
			v.sees("works no more")
			v.open("/mine")
		})
	}
}
