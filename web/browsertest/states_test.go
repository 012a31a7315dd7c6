package browsertest

import (
	"testing"

	"saltbush/internal/site/sitetest/chromium"
	"saltbush/web/storybook"
)

// Page states that no other test comes to fit the screen and pass the rules of axe-core.
func TestPageStates(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	for name, pages := range map[string][]string{
		"cars": {"cars", "cars-short", "cars-closed", "place-cars"},
		"mail": {"mail-choice", "mail-stopped", "feeds", "feeds-none", "notice", "place"},
		"accounts": {
			"two-step-key", "two-step-on", "code-wrong", "passkeys", "passkeys-not", "person", "person-wrong",
			"lost-password",
		},
		"imports": {"table-file", "table-file-wrong", "table-lines", "table-refused", "table-brought"},
		"sign-up": {"signup-wrong", "screening", "talk-sheet", "place-refused", "place-contact", "contact"},
		"staff": {
			"staff", "staff-rules-wrong", "records", "record", "record-wrong", "record-none", "staffing", "mine",
			"asked",
		},
		"cards": {
			"card-form", "card-form-wrong", "card-form-no-key", "card-form-lost", "card-form-over", "card-none",
			"card-ask",
			"card-ask-wrong", "card-open", "card-unread", "cards", "cards-none", "cards-no-key",
		},
	} {
		t.Run(name, func(t *testing.T) {
			onScreens(t, states().URL, func(_ *testing.T, v *chromium.Tab) {
				for _, page := range pages {
					v.Open(storybook.Path + "/" + page)
				}
			})
		})
	}
}
