package main

import (
	"path/filepath"
	"testing"

	"saltbush/internal/localpg/pgtest"
)

// The pages of sign-up and of the talk before a place fit the screen and axe-core's rules.
func TestSignUpPagesInABrowser(t *testing.T) {
	p := serve(t, "demo", "--data", filepath.Join(pgtest.Folder(t), "demo"))
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, p.base, s)
			for _, name := range []string{"signup-wrong", "screening", "talk-sheet", "place-refused", "place-contact", "contact"} {
				v.openState(name)
			}
		})
	}
}
