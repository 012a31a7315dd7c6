package storybook_test

import (
	"strings"
	"testing"

	"github.com/a-h/templ"

	"saltbush/internal/caution"
	"saltbush/internal/format"
	hikesview "saltbush/web/hikes/view"
	"saltbush/web/ui"
)

func TestHikeWithPlan(t *testing.T) {
	doc := state(t, "hike")
	wantText(t, doc, "[aria-labelledby=plan] .Stamp", "plan says change")
	wantCount(t, doc, ".Reasons li", 3)
	if got := text(doc, ".Reasons li:first-child"); !strings.HasPrefix(got, "One party in ten") {
		t.Errorf("the first reason begins %q, want the weightiest", got)
	}
	wantCount(t, doc, "[aria-labelledby=plan] .RangeBar", 2)
	wantText(t, doc, ".Lines div:contains('Turn around by') dd",
		"08:50 heat: the open trail passes its limit at 10:51, less 2 h 01 for the way back")
	wantText(t, doc, ".Figure--big .Figure-value", "4.5 L")
	wantText(t, doc, "[aria-labelledby=water] dt:contains('Eaten on the way') + dd", "200 to 300 kcal an hour")
	wantCount(t, doc, "[aria-labelledby=cautions] li", len(caution.All()))
	wantText(t, doc, ".Lines div:contains('Computed') dd", "Sat 9 May, 09:02 by Ines Calder")
}

func TestHikeSaysWhatElseThePlanHolds(t *testing.T) {
	doc := state(t, "hike")
	wantCount(t, doc, "[aria-labelledby=plan] h3:contains('What would make it a go') + .Points li", 2)
	wantText(t, doc, "[aria-labelledby=starts] .Lines div:contains('Latest that passes') dd", "05:20")
	wantCount(t, doc, "[aria-labelledby=starts] > .Points li", 2)
	wantCount(t, doc, "[aria-labelledby=starts] figure .StartsDrawing svg[role=img] desc", 1)
	wantText(t, doc, "[aria-labelledby=points] details tr:nth-child(2) td[data-label=Late]", "09:04")
	wantText(t, doc, "[aria-labelledby=points] tr:nth-child(1) td[data-label='Turn back by'] small",
		"heat: the open trail passes its limit at 10:51, less 49 min for the way back")
	wantText(t, doc, "[aria-labelledby=heat] .Lines div:contains('From and to') dd", "10:21 to 11:21")
	wantText(t, doc, "[aria-labelledby=short] .Lines div:contains('Distance') dd", "4.8 km There and back.")
	wantText(t, doc, "[aria-labelledby=pace] .Lines div:contains('level') dd", "66 cm (26 in)")
	wantText(t, doc, "[aria-labelledby=made] details tr:contains('Tobler') small", "differs: look again")
	wantCount(t, doc, "[aria-labelledby=made] details tr:contains('Alpine') small", 0)
}

func TestHikeOfAnOlderPlanLeavesOutWhatItDoesNotHold(t *testing.T) {
	doc := draw(t, hikesview.Hike(hikesview.HikePage{Plan: &hikesview.HikePlan{}}))
	wantText(t, doc, "[aria-labelledby=starts] .Note--unknown .Note-title", "No start window")
	wantCount(t, doc,
		"#points, #short, #pace, [aria-labelledby=made] details, [aria-labelledby=heat] h3, [aria-labelledby=plan] h3",
		0)
}

func TestWordsOfStrideAndDifference(t *testing.T) {
	for _, tt := range []struct{ name, got, want string }{
		{"no stride", hikesview.Stride(0), format.Unknown},
		{"half a metre", hikesview.Stride(0.508), "51 cm (20 in)"},
		{"longer", hikesview.Longer(12), "12 % longer"},
		{"shorter", hikesview.Longer(-33), "33 % shorter"},
		{"next to nothing", hikesview.Longer(-0.3), "the same"},
		{"to a tenth", hikesview.ExactTemperature(27.5, format.US), "81.5 \u00b0F"},
		{"work", hikesview.Work(292.4), "292 W"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.got != tt.want {
				t.Errorf("reads %q, want %q", tt.got, tt.want)
			}
		})
	}
}

func TestHeatTableMarksTheWalkAndTheLimit(t *testing.T) {
	doc := state(t, "hike")
	wantCount(t, doc, ".HeatTable tbody tr", 16)
	wantCount(t, doc, ".HeatTable-walk", 6)
	wantCount(t, doc, ".HeatTable-over", 6)
	wantText(t, doc, ".HeatTable tr:nth-child(8) td.HeatTable-over", "over the limit: 29.4")
	if got := text(doc, ".HeatTable + p"); !strings.Contains(got, "The heat index is shown, never decided on") {
		t.Errorf("under the table stands %q", got)
	}
}

func TestHikeFormsPostWhereTheyShould(t *testing.T) {
	doc := state(t, "hike")
	wantCount(t, doc, "form[method=post][action='/hikes/12/forecast'] [name]", 13)
	wantCount(t, doc, "form[method=post][action='/hikes/12/decide'] input#go-reason[name=reason][aria-required]", 1)
	wantCount(t, doc, "form[method=post][action='/hikes/12/call-off'] input#call-off-reason[name=reason]", 1)
	wantCount(t, doc, "form[method=post][action='/hikes/12/sign-ups/5/turn-away'] input#reason-5[name=reason]", 1)
	wantCount(t, doc, "form[action$='/post'], form[action$='/close']", 0)
}

func TestHikeGoNeedsNoReasonWhenThePlanSaysGo(t *testing.T) {
	doc := draw(t, hikesview.Hike(hikesview.HikePage{URL: "/hikes/12",
		Decision: hikesview.DecisionText{Open: true, GoReason: hikesview.NewGoReason(ui.FormState{}, false)}}))
	wantCount(t, doc, "#go-reason[aria-required]", 0)
	wantText(t, doc, "form[action='/hikes/12/decide'] button", "Go")
}

func TestHikeCanBePosted(t *testing.T) {
	doc := draw(t, hikesview.Hike(hikesview.HikePage{URL: "/hikes/12", Post: hikesview.PostText{Can: true}}))
	wantCount(t, doc, "form[method=post][action='/hikes/12/post'] button", 1)
	refused := state(t, "hike-draft")
	wantCount(t, refused, "form[action='/hikes/12/post']", 0)
	wantText(t, refused, "[aria-labelledby=decision] .Note--caution p:not(.Note-title)",
		"Name a leader before posting the hike.")
}

func TestHikeWithoutPlanIsNotGreen(t *testing.T) {
	doc := state(t, "hike-draft")
	wantText(t, doc, "[aria-labelledby=plan] .Stamp--pencil", "no plan")
	wantCount(t, doc, ".Stamp--leaf, .Stamp--leaf-solid, .HeatTable", 0)
	wantCount(t, doc, "[role=alert] a[href='#low'], [role=alert] a[href='#dew_point'], [role=alert] a[href='#wind']", 3)
	wantCount(t, doc, "input#wind[value=light][aria-invalid]", 1)
	wantCount(t, doc, "option[value=F][selected]", 1)
	wantCount(t, doc, "[aria-labelledby=cautions] li", len(caution.All()))
}

func TestHikeSignUps(t *testing.T) {
	doc := state(t, "hike")
	wantCount(t, doc, "[aria-labelledby=sign-ups] tbody tr", 5)
	wantText(t, doc, "[aria-labelledby=sign-ups] tr:nth-child(3) th small", "minor, guardian Berit Holt")
	wantCount(t, doc, "[aria-labelledby=sign-ups] tr:nth-child(4) form", 0)
	wantCount(t, doc, "[aria-labelledby=sign-ups] a[href='tel:555-0129']", 1)
}

func TestHikeThatCannotGoTakesNothingMore(t *testing.T) {
	doc := state(t, "hike-called-off")
	wantCount(t, doc, "main form", 0)
	wantText(t, doc, "[aria-labelledby=decision] .Note--grave .Note-title", "Called off")
}

func TestHikeDecidedShowsWhoAndWhy(t *testing.T) {
	doc := state(t, "hike-decided")
	wantText(t, doc, "[aria-labelledby=decision] .Note-title", "It goes. Decided Sat 9 May, 11:58 by Ines Calder.")
	wantCount(t, doc, "form[action$='/decide']", 0)
	wantText(t, doc, "[aria-labelledby=plan] .Note--unknown .Note-title", "This plan is out of date")
}

func TestHikeNotClosedNamesTheMissing(t *testing.T) {
	doc := state(t, "hike-not-closed")
	wantCount(t, doc, "[aria-labelledby=close] .Note--grave li", 2)
	wantCount(t, doc, "[aria-labelledby=close] a[href='/hikes/12/roll']", 1)
	wantCount(t, doc, "form[method=post][action='/hikes/12/close'] button", 1)
}

func TestHikeShowsItsDrawingOfTheDay(t *testing.T) {
	doc := draw(t,
		hikesview.Hike(hikesview.HikePage{Plan: &hikesview.HikePlan{Day: templ.Raw(`<svg id="drawn"></svg>`)}}))
	wantCount(t, doc, "[aria-labelledby=day] figure svg#drawn", 1)
}
