package storybook_test

import (
	"strings"
	"testing"

	"saltbush/internal/caution"
	"saltbush/internal/format"
	"saltbush/web/ui"
)

func TestLayoutFrame(t *testing.T) {
	doc := draw(t,
		ui.Layout(ui.Page{Title: "Hikes", Nav: ui.Nav(ui.Viewer{}, "Hikes"), Units: format.Metric, Path: "/"}))
	wantText(t, doc, "title", "Hikes - Saltbush")
	wantCount(t, doc, "a.skip[href='#main']", 1)
	wantCount(t, doc, "main#main", 1)
	wantText(t, doc, "nav a[aria-current=page]", "Hikes")
	wantCount(t, doc, "link[rel=stylesheet][href^='/assets/app.']", 1)
	wantCount(t, doc, "a[href='/sign-in']", 1)
	if got := text(doc, ".Foot-emergency"); !strings.HasPrefix(got, "In an emergency call the local emergency number") {
		t.Errorf("the foot begins %q", got)
	}
	wantCount(t, doc, ".Foot li", len(caution.Short()))
	wantCount(t, doc, "form[action='/units'] button[value=us]", 1)
}

func TestLayoutOfPrivateLink(t *testing.T) {
	doc := draw(t, ui.Layout(ui.Page{Title: "Your place", Private: true, Nav: ui.Nav(ui.Viewer{}, "")}))
	wantCount(t, doc, "meta[name=robots][content=noindex]", 1)
	wantCount(t, doc, "meta[name=referrer][content=no-referrer]", 1)
	wantCount(t, doc, "nav, a[href='/sign-in']", 0)
}

func TestLayoutSaysWhoIsSignedIn(t *testing.T) {
	v := ui.Viewer{Name: "Ines Calder", SignedIn: true, Roles: []ui.Role{ui.RoleCoordinator}}
	doc := draw(t, ui.Layout(ui.Page{Viewer: v, Nav: ui.Nav(v, "Board"), Demo: "A demo."}))
	wantText(t, doc, ".Cover-viewer a", "Ines Calder")
	wantCount(t, doc, "form[action='/sign-out'][method=post]", 1)
	wantText(t, doc, "nav a[aria-current=page]", "Board")
	wantText(t, doc, ".Demo", "A demo.")
	wantCount(t, doc, "script", 0)
	wantCount(t, doc, "nav a[href='/people']", 1)
}

func TestFlashOffersUndo(t *testing.T) {
	doc := draw(t, ui.FlashLine(ui.Flash{Text: "You are off the list.", Undo: "Put me back", UndoURL: "/place/x/undo"}))
	wantText(t, doc, "[role=status] p", "You are off the list.")
	wantText(t, doc, "form[action='/place/x/undo'] button", "Put me back")
	if got := draw(t, ui.FlashLine(ui.Flash{})).Find("[role=status]").Length(); got != 0 {
		t.Errorf("an empty flash is drawn")
	}
}
