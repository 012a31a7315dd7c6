package storybook_test

import (
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"

	"saltbush/internal/caution"
	settingsview "saltbush/web/settings/view"
	"saltbush/web/storybook"
	"saltbush/web/ui"
	watchview "saltbush/web/watch/view"
)

// page draws a state page by its name.
func page(t *testing.T, name string) *goquery.Document {
	t.Helper()
	for _, p := range storybook.StatePages() {
		if p.Name == name {
			return draw(t, p.Component)
		}
	}
	t.Fatalf("no state page named %q", name)
	return nil
}

// TestEveryPage checks what holds for every page.
func TestEveryPage(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range storybook.StatePages() {
		t.Run(p.Name, func(t *testing.T) {
			if seen[p.Name] || p.Title == "" {
				t.Errorf("name %q is taken or has no title", p.Name)
			}
			seen[p.Name] = true
			doc := draw(t, p.Component)
			wantCount(t, doc, "h1", 1)
			wantCount(t, doc, "main#main", 1)
			wantCount(t, doc, "footer .Foot-emergency", 1)
			wantCount(t, doc, "style, [style], script:not([src])", 0)
			checkAttributes(t, doc)
			checkForms(t, doc)
			for _, bad := range []string{"NaN", "%!", "+Inf", "<nil>"} {
				if strings.Contains(doc.Text(), bad) {
					t.Errorf("the page says %q", bad)
				}
			}
		})
	}
}

// checkAttributes finds IDs that are used twice, references to IDs that are missing, and inline
// handlers, which the content security policy would refuse.
func checkAttributes(t *testing.T, doc *goquery.Document) {
	t.Helper()
	ids := map[string]int{}
	doc.Find("[id]").Each(func(_ int, s *goquery.Selection) { ids[s.AttrOr("id", "")]++ })
	for id, n := range ids {
		if n > 1 {
			t.Errorf("id %q is used %d times", id, n)
		}
	}
	doc.Find("*").Each(func(_ int, s *goquery.Selection) {
		for _, a := range s.Nodes[0].Attr {
			if strings.HasPrefix(a.Key, "on") {
				t.Errorf("<%s> has the inline handler %s", s.Nodes[0].Data, a.Key)
			}
			if a.Key != "for" && a.Key != "aria-describedby" && a.Key != "aria-labelledby" {
				continue
			}
			for _, id := range strings.Fields(a.Val) {
				if ids[id] == 0 {
					t.Errorf("<%s %s=%q> refers to nothing", s.Nodes[0].Data, a.Key, a.Val)
				}
			}
		}
	})
}

// checkForms checks that each form has a target and each control a label.
func checkForms(t *testing.T, doc *goquery.Document) {
	t.Helper()
	doc.Find("input:not([type=hidden]), select, textarea").Each(func(_ int, s *goquery.Selection) {
		id := s.AttrOr("id", "")
		if doc.Find("label[for='"+id+"']").Length() == 0 && s.Closest("label").Length() == 0 {
			t.Errorf("control %q has no label", s.AttrOr("name", "?"))
		}
	})
	doc.Find("button").Each(func(_ int, s *goquery.Selection) {
		if strings.TrimSpace(s.Text()) == "" {
			t.Error("a button has no words")
		}
	})
}

func TestCalendarShowsNoWordWithoutItsNumber(t *testing.T) {
	doc := page(t, "calendar")
	wantCount(t, doc, ".Calendar-entry", 4)
	doc.Find(".Calendar-figures div:nth-child(3) dd").Each(func(_ int, s *goquery.Selection) {
		if !strings.ContainsAny(s.Text(), "0123456789") {
			t.Errorf("class reads %q, without its number", s.Text())
		}
	})
	wantText(t, doc, ".Calendar-entry:contains('Smoke Tree') .Calendar-figures div:nth-child(4) dd", "not known")
	wantText(t, page(t, "calendar-empty"), ".EmptyState-title", "No hikes are posted")
}

func TestNoticeTellsBeforeItAsks(t *testing.T) {
	doc := page(t, "notice")
	wantText(t, doc, "section[aria-labelledby=time] .RangeBar:first-of-type b", "3 h 45 to 4 h 51")
	wantCount(t, doc, "section[aria-labelledby=refused] li", 4)
	wantCount(t, doc, "section[aria-labelledby=heat] .HeatHours tbody tr", 7)
	wantCount(t, doc, "section[aria-labelledby=cautions] li", len(caution.All()))
	wantCount(t, doc, "a.Button--main[href='/hikes/1/sign-up']", 2)
	if got := text(doc, ".Figure:contains('Bring each') .Figure-note"); !strings.Contains(got, "bottles") {
		t.Errorf("water is said in litres only: %q", got)
	}
}

func TestNoticeCalledOffTakesNoSignups(t *testing.T) {
	doc := page(t, "notice-called-off")
	wantText(t, doc, ".Head .Stamp", "called off")
	wantCount(t, doc, "a.Button--main", 0)
	wantText(t, doc, "section[aria-labelledby=heat] .EmptyState-title", "No heat figures")
}

func TestSignupThatCameBack(t *testing.T) {
	doc := page(t, "signup-wrong")
	wantCount(t, doc, "[role=alert] li", 3)
	for _, id := range []string{"contact", "contact_tel", "agree"} {
		wantCount(t, doc, "#"+id+"[aria-invalid=true]", 1)
		wantCount(t, doc, "#"+id+"-error", 1)
	}
	if got := doc.Find("#contact_tel").AttrOr("value", ""); got != "555 01" {
		t.Errorf("what was typed is %q, want it kept", got)
	}
	wantCount(t, page(t, "signup"), "[role=alert], [aria-invalid]", 0)
}

func TestPlaceOffersUndoInsteadOfAQuestion(t *testing.T) {
	wantCount(t, page(t, "place"), "form[action='/place/K7QX/withdraw'] button.Button--grave", 1)
	doc := page(t, "place-withdrawn")
	wantText(t, doc, "[role=status] form[action='/place/K7QX/undo'] button", "I come after all")
	wantCount(t, doc, "form[action='/place/K7QX/withdraw']", 0)
}

func TestPlaceIsPrivateAndComplete(t *testing.T) {
	doc := page(t, "place")
	wantCount(t, doc, "meta[name=robots][content=noindex]", 1)
	wantText(t, doc, "section[aria-labelledby=drink] tbody tr:first-child th", "06:50")
	wantCount(t, doc, ".Kit li", 9)
	wantText(t, page(t, "place-offered"), "form[action='/place/K7QX/take'] button", "Take the place")
}

func TestRollRowsPostWithoutScripts(t *testing.T) {
	doc := page(t, "roll")
	row := doc.Find(".Roll-person:contains('Amaya Reyes')")
	form := row.Find("form[method=post][action='/hikes/1/roll']")
	if form.Find("input[name=event]").Length() != 1 || form.Find("input[name=person][value='4']").Length() != 1 {
		t.Error("the row's form does not name its event and its person")
	}
	if got := form.Find("button[name=kind][value='not here']").Text(); !strings.Contains(got, "Amaya Reyes") {
		t.Errorf("the button reads %q to those who cannot see the row", got)
	}
	wantCount(t, doc, ".Roll-last form input[name=event]", 1)
	wantText(t, doc, ".Roll-last button[value=undo] .unseen", "Bashir Noor is here, 06:04")
	wantCount(t, doc, ".Roll-person:contains('Lotte') .Roll-flag--grave", 1)
}

func TestRollThatMayNotLeaveHasNoLeaveButton(t *testing.T) {
	wantCount(t, page(t, "roll"), "button[value=departed]", 0)
}

func TestRollCountAsksBothNumbers(t *testing.T) {
	doc := page(t, "roll-out")
	wantCount(t, doc, "form input#count-leader, form input#count-sweep", 2)
	wantText(t, doc, ".Roll-expected", "14 expected")
	wantCount(t, doc, "form select#early-who, form select#early-buddy", 2)
	wantText(t, page(t, "roll-back"), ".Roll-person:first-child button[value='at the car']", "At the car Amaya Reyes")
}

func TestBoardIsLive(t *testing.T) {
	doc := page(t, "board-lost")
	if got, _ := doc.Find("#live").Attr("data-stream"); got != "/board/events" {
		t.Errorf("the board listens to %q", got)
	}
	wantCount(t, doc, "#live-lost[role=alert]", 1)
	wantCount(t, doc, "#live-says:contains('from 11:33:05 and does not update itself')", 1)
	wantText(t, doc, ".Board-party:first-child .Stamp", "alert")
	wantCount(t, doc, ".Board-party:first-child form[method=post]", 1)
	wantText(t, doc, ".Board-bad dd", "8 of 9 at the picnic ground, 10:58")
}

func TestBoardRowsStandAlone(t *testing.T) {
	doc := draw(t, watchview.BoardRows(watchview.BoardRowsText{BoardHeadText: watchview.BoardHeadText{AsOf: "11:33:05"},
		Parties: []watchview.BoardRow{{ID: "party-1", Trail: "Quail Wash", Phase: ui.StampOf("due")}}}))
	wantCount(t, doc, "main, header.Cover, script", 0)
	wantText(t, doc, ".Board-asof", "As of 11:33:05")
	wantText(t, doc, ".Board-party .Stamp", "due")
}

func TestBoardWithoutOnCallSaysSo(t *testing.T) {
	doc := page(t, "board-quiet")
	wantText(t, doc, ".Note--grave .Note-title", "Nobody is named as on call")
	wantText(t, doc, ".EmptyState-title", "Nobody is out")
}

func TestSigninAndFirst(t *testing.T) {
	doc := page(t, "signin")
	wantCount(t, doc, "form[action='/sign-in'] input[name=next][value='/desk']", 1)
	wantCount(t, doc, "input[type=password][autocomplete=current-password]", 1)
	wantCount(t, page(t, "first"), "form[action='/first'] input#password[aria-invalid=true]", 1)
}

func TestOutboxShowsTheTextAndItsLinks(t *testing.T) {
	doc := page(t, "outbox")
	wantCount(t, doc, ".Mail a.Button[href='/place/K7QX-41PD-9TTE-RV2M']", 1)
	wantText(t, draw(t, settingsview.Outbox(settingsview.OutboxPage{})), ".EmptyState-title",
		"Nothing has been written yet")
}

func TestPagesIndexListsAll(t *testing.T) {
	all := storybook.StatePages()
	doc := draw(t, storybook.PagesIndex(storybook.PagesIndexPage{Pages: all}))
	wantCount(t, doc, "main li a[href^='/_pages/']", len(all))
}
