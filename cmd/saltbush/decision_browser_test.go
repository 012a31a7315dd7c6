package main

import "testing"

// The pages of a decision and of the ground at both sizes, looked at.
func TestDecisionPagesLook(t *testing.T) {
	d := serveDecided(t)
	d.send(d.c, "/hikes/1/decide", map[string][]string{"outcome": {"shorter"}, "turn": {"the fork"}, "reason": {"Known way, cool day."}})
	links, _ := d.letters()
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, d.base, s)
			v.open(links["wren@example.org"])
			v.open("/sign-in")
			v.fill("main form", map[string]string{"email": "leads@example.org", "password": samplePassword})
			v.press("main form button[type=submit]")
			v.open("/hikes/1/manage")
			v.evaluate(`document.querySelectorAll("details.More").forEach(e => e.open = true)`)
			v.look()
			v.open("/trails/1")
			v.evaluate(`document.querySelectorAll("#lies, section:has(#lies) details").forEach(e => e.open = true)`)
			v.press("form[action$='/scouts'] button")
			v.sees("Give the day it was walked")
			v.look()
		})
	}
}
