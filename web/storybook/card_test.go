package storybook_test

import (
	"strings"
	"testing"
)

func TestCardFormOfEachState(t *testing.T) {
	for _, tt := range []struct {
		name                  string
		forms, graves, keptIn int
	}{
		{"card-form", 1, 0, 1}, {"card-form-wrong", 1, 1, 1}, {"card-form-lost", 1, 0, 1},
		{"card-form-no-key", 0, 1, 0}, {"card-form-over", 0, 0, 1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			doc := page(t, tt.name)
			wantCount(t, doc, "form.CardForm", tt.forms)
			wantCount(t, doc, ".Note--grave", tt.graves)
			wantCount(t, doc, "form[action$='/card/remove']", tt.keptIn)
		})
	}
	doc := page(t, "card-form-wrong")
	wantCount(t, doc, "input[name=born][value='April 1961'][aria-invalid=true]", 1)
	wantText(t, doc, "textarea[name=action]", "Sugar, then call.")
}

// The page that asks for a reason leads back without opening the card. It has no link to the card,
// because opening is a POST.
func TestCardAskSendsAReason(t *testing.T) {
	doc := page(t, "card-ask-wrong")
	wantCount(t, doc, "form[method=post][action='/hikes/12/cards/1'] textarea[name=reason][aria-invalid=true]", 1)
	wantCount(t, doc, "a[href='/hikes/12/roll']", 1)
	wantCount(t, doc, "a[href='/hikes/12/cards/1']", 0)
}

// An empty answer is said to be unknown, and never left out: it is not "none".
func TestOpenedCardSaysWhatIsNotWritten(t *testing.T) {
	doc := page(t, "card-open")
	if n := strings.Count(doc.Find("main").Text(), "not written"); n != 3 {
		t.Errorf("%d answers are said to be not written, want 3", n)
	}
	wantCount(t, doc, "a[href='tel:112']", 1)
	unread := page(t, "card-unread")
	wantCount(t, unread, ".Note--grave", 1)
	wantCount(t, unread, "a[href='tel:+14805550155']", 1)
}

func TestOpeningsOfEachViewer(t *testing.T) {
	wantCount(t, page(t, "cards"), "section[aria-labelledby=incidents] a[href='/hikes/12/cards/1']", 1)
	wantCount(t, page(t, "cards-none"), "section[aria-labelledby=incidents]", 0)
	wantCount(t, page(t, "cards-no-key"), ".Note--grave", 1)
}

func TestPlaceTellsOfOpenings(t *testing.T) {
	for name, want := range map[string]string{"place": "She is pale and does not answer.",
		"card-none": "You have none, and need none."} {
		if got := text(page(t, name), "section[aria-labelledby=card]"); !strings.Contains(got, want) {
			t.Errorf("%s: the part about the card does not say %q: %s", name, want, got)
		}
	}
}
