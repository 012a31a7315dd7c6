package main

import (
	"path/filepath"
	"testing"

	"saltbush/internal/localpg/pgtest"
)

// A card from writing it to reading who opened it, on a phone and at a desk.
func TestCardInABrowser(t *testing.T) {
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			c := newCarded(t)
			v := browser(t, c.pages.base, s)
			v.open(c.place)
			v.press("a[href$='/card']")
			v.fill("form.CardForm", map[string]string{"action": "Shade first, then sugar.", "allergies": "Wasps", "born": "April 1961"})
			v.press("form.CardForm button[type=submit]")
			v.sees("such as 1961-04-30")
			v.fill("form.CardForm", map[string]string{"born": "1961-04-30"})
			v.press("form.CardForm button[type=submit]")
			v.sees("is written and sealed")
			v.sees("Nobody has opened it")

			v.open("/sign-in")
			v.fill("main form", map[string]string{"email": "leader1@example.org", "password": samplePassword})
			v.press("main form button")
			v.open(hikePathOf(c.h) + "/roll?part=start")
			v.sees("Shade first, then sugar.")
			v.press("a[href$='/cards/" + c.person + "']")
			v.press("main form button[type=submit]")
			v.sees("Write why you open it")
			v.fill("main form", map[string]string{"reason": cardReason})
			v.press("main form button[type=submit]")
			v.sees("Wasps")
			v.sees("Opened by Leader 1")
			v.press("a[href$='/roll']")
			v.open(c.place)
			v.sees(cardReason)
		})
	}
}

// Every page of cards in each of its states fits the screen and axe-core's rules.
func TestCardPagesInABrowser(t *testing.T) {
	p := serve(t, "demo", "--data", filepath.Join(pgtest.Folder(t), "demo"))
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, p.base, s)
			for _, name := range []string{"card-form", "card-form-wrong", "card-form-no-key", "card-form-lost", "card-form-over", "card-none",
				"card-ask", "card-ask-wrong", "card-open", "card-unread", "cards", "cards-none", "cards-no-key", "place"} {
				v.openState(name)
			}
		})
	}
}
