package storybook_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/PuerkitoBio/goquery"
	"github.com/a-h/templ"

	"saltbush/web/ui"
	watchview "saltbush/web/watch/view"
)

// draw renders a component as a document to query.
func draw(t *testing.T, c templ.Component) *goquery.Document {
	t.Helper()
	var b strings.Builder
	if err := c.Render(context.Background(), &b); err != nil {
		t.Fatalf("render: %v", err)
	}
	doc, err := goquery.NewDocumentFromReader(strings.NewReader(b.String()))
	if err != nil {
		t.Fatalf("parse: %v", err)
	}
	return doc
}

// text returns the text that a selector finds, with runs of spaces made one.
func text(doc *goquery.Document, selector string) string {
	return strings.Join(strings.Fields(doc.Find(selector).Text()), " ")
}

func wantText(t *testing.T, doc *goquery.Document, selector, want string) {
	t.Helper()
	if got := text(doc, selector); got != want {
		t.Errorf("%s reads %q, want %q", selector, got, want)
	}
}

func wantCount(t *testing.T, doc *goquery.Document, selector string, want int) {
	t.Helper()
	if got := doc.Find(selector).Length(); got != want {
		t.Errorf("%s found %d times, want %d", selector, got, want)
	}
}

func TestStampSaysItsWord(t *testing.T) {
	for _, word := range []string{"draft", "posted", "called off", "out", "back", "closed", "asked", "offered",
		"confirmed", "waiting",
		"withdrawn", "turned away", "on time", "due", "uncertainty", "alert", "distress", "stood down"} {
		t.Run(word, func(t *testing.T) {
			doc := draw(t, ui.Stamp(ui.StampOf(word)))
			wantText(t, doc, ".Stamp", word)
			wantCount(t, doc, ".Stamp svg[aria-hidden=true]", 1)
		})
	}
}

// States that can meet on one page must differ without color: in mark or in outline.
func TestStampsDifferWithoutColour(t *testing.T) {
	families := map[string][]string{
		"hike":      {"draft", "posted", "called off", "out", "back", "closed"},
		"sign-up":   {"asked", "offered", "confirmed", "waiting", "withdrawn", "turned away"},
		"screening": {"fits", "talk first", "suggest another", "declined"},
		"phase":     {"on time", "due", "uncertainty", "alert", "distress", "stood down"},
	}
	for family, words := range families {
		t.Run(family, func(t *testing.T) {
			seen := map[ui.Mark]string{}
			for _, w := range words {
				s := ui.StampOf(w)
				if other, taken := seen[s.Mark]; taken {
					t.Errorf("%q and %q share the mark %q", w, other, s.Mark)
				}
				seen[s.Mark] = w
			}
		})
	}
}

func TestStampOfNoDataIsNotGreen(t *testing.T) {
	for _, state := range []string{"", "something new"} {
		got := ui.StampOf(state)
		if got.Look != ui.LookPencil || got.Mark != ui.MarkQuestion {
			t.Errorf("StampOf(%q) = %+v, want a pencil stamp with a question mark", state, got)
		}
	}
	wantText(t, draw(t, ui.Stamp(ui.StampOf(""))), ".Stamp", "not known")
}

func TestFigure(t *testing.T) {
	t.Run("known", func(t *testing.T) {
		doc := draw(t, ui.Figures([]ui.FigureText{{Label: "Water", Value: "4.5", Unit: "litres", Note: "each"}}))
		wantText(t, doc, "dl dt", "Water")
		wantText(t, doc, "dd.Figure-value", "4.5 litres")
		wantText(t, doc, "dd.Figure-note", "each")
	})
	t.Run("not known", func(t *testing.T) {
		doc := draw(t, ui.Figures([]ui.FigureText{{Label: "Shade"}}))
		wantText(t, doc, ".Figure--unknown .Figure-value", "not known")
	})
}

func TestDurationRangeIsDrawnToScale(t *testing.T) {
	r := ui.NewDurationRange("On the trail", 3*time.Hour, 4*time.Hour+30*time.Minute)
	if r.FromAt != "60.00%" || r.ToAt != "90.00%" || r.Wide != "30.00%" {
		t.Errorf("range stands at %s to %s, %s wide; want 60%% to 90%% of five hours", r.FromAt, r.ToAt, r.Wide)
	}
	doc := draw(t, ui.RangeBar(r))
	wantText(t, doc, ".RangeBar-text b", "3 h to 4 h 30")
	wantCount(t, doc, ".RangeBar rect.span[x='60.00%'][width='30.00%']", 1)
}

func TestClockRangeShowsItsLimit(t *testing.T) {
	zone := time.FixedZone("UTC-7", -7*3600)
	at := func(h, m int) time.Time { return time.Date(2026, 5, 10, h, m, 0, 0, zone) }
	r := ui.NewClockRange("Back", at(6, 30), at(10, 15), at(11, 21), at(10, 30), "off by 10:30", zone)
	doc := draw(t, ui.RangeBar(r))
	wantText(t, doc, ".RangeBar-text b", "10:15 to 11:21")
	wantText(t, doc, ".limit-text", "off by 10:30")
	if got := draw(t, ui.RangeBar(ui.NewClockRange("Back", at(6, 30), at(10, 15), at(11, 21), time.Time{}, "",
		zone))).Find(".limit").Length(); got != 0 {
		t.Errorf("a range without a limit draws %d limits", got)
	}
}

func TestFieldKeepsWhatWasTypedAndSaysWhatIsWrong(t *testing.T) {
	f := ui.Field{Name: "contact_phone", Label: "Their phone", Hint: "Not one of this hike.", Value: "555 01",
		Error: "This number has 5 digits; local numbers have 10."}
	doc := draw(t, ui.FieldText(f))
	input := doc.Find("input#contact_phone")
	if got, _ := input.Attr("value"); got != "555 01" {
		t.Errorf("value = %q, want what was typed", got)
	}
	if got, _ := input.Attr("aria-describedby"); got != "contact_phone-hint contact_phone-error" {
		t.Errorf("aria-describedby = %q", got)
	}
	if got, _ := input.Attr("aria-invalid"); got != "true" {
		t.Errorf("aria-invalid = %q, want true", got)
	}
	wantText(t, doc, "label[for=contact_phone]", "Their phone")
	wantText(t, doc, "#contact_phone-error", f.Error)
}

func TestFieldWithoutErrorIsPlain(t *testing.T) {
	doc := draw(t, ui.FieldNumber(ui.Field{Name: "water", Label: "Water", Unit: "litres", Optional: true}))
	wantCount(t, doc, ".Field--wrong, [aria-invalid], [aria-describedby]", 0)
	wantText(t, doc, ".Field-unit", "litres")
	wantText(t, doc, "label small", "(optional)")
}

func TestFieldChoiceMarksTheChosen(t *testing.T) {
	doc := draw(t, ui.FieldChoice(ui.Field{Name: "age", Label: "Age",
		Options: []ui.Option{{Value: "adult", Label: "Adult"}, {Value: "minor", Label: "Under 18", Selected: true}}}))
	wantText(t, doc, "fieldset legend", "Age")
	wantCount(t, doc, "input[type=radio][name=age]", 2)
	wantCount(t, doc, "input#age-minor[checked]", 1)
}

func TestFormErrorsLinksToEachField(t *testing.T) {
	doc := draw(t, ui.FormErrors([]ui.Field{{Name: "name", Label: "Name"},
		{Name: "mobile", Label: "Mobile", Error: "Write a number."}}))
	wantCount(t, doc, "[role=alert] li", 1)
	wantText(t, doc, "li a[href='#mobile']", "Mobile")
	if got := draw(t, ui.FormErrors([]ui.Field{{Name: "name"}})).Find("[role=alert]").Length(); got != 0 {
		t.Errorf("a form without errors raises %d alerts", got)
	}
}

func TestButtonFormPosts(t *testing.T) {
	doc := draw(t, ui.ButtonForm(ui.ButtonText{Label: "Here", URL: "/roll/7/here", About: "Amaya Reyes", Name: "person",
		Value: "3"}))
	wantCount(t, doc, "form[method=post][action='/roll/7/here'] button[name=person][value='3']", 1)
	wantText(t, doc, "button", "Here Amaya Reyes")
}

func TestTabsMarkTheCurrent(t *testing.T) {
	doc := draw(t,
		ui.Tabs("Parts of the hike",
			[]ui.Tab{{Label: "Plan", URL: "/a", Current: true}, {Label: "Sign-ups", URL: "/b", Count: "12"}}))
	wantText(t, doc, "nav[aria-label='Parts of the hike'] a[aria-current=page]", "Plan")
}

func TestLedgerNamesEachCellForPhones(t *testing.T) {
	doc := draw(t, ui.Ledger(ui.LedgerText{Columns: []ui.Column{{Label: "Trail"}, {Label: "Length", Figure: true}},
		Rows: [][]ui.Cell{{{Text: "Quail Wash"}, {}}}, Cards: true}))
	wantText(t, doc, "tbody th[scope=row]", "Quail Wash")
	wantText(t, doc, "td[data-label=Length].figure", "not known")
}

func TestSteps(t *testing.T) {
	doc := draw(t, watchview.Steps([]watchview.Step{{Text: "Ring the leader", When: "11:21", Current: true},
		{Text: "Ring the sweep", Done: "done 11:24"}}))
	wantText(t, doc, "li[aria-current=step] .Steps-when", "11:21")
	wantText(t, doc, ".Steps-done", "done 11:24")
}

func TestEmptyStateLeadsOn(t *testing.T) {
	doc := draw(t, ui.EmptyState(ui.EmptyText{Title: "No forecast", Text: "Not fetched.", Action: "Write the day's air",
		URL: "/x"}))
	wantText(t, doc, ".EmptyState-title", "No forecast")
	wantText(t, doc, "a.Button[href='/x']", "Write the day's air")
}
