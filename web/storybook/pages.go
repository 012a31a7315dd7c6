package storybook

import (
	"github.com/a-h/templ"

	"saltbush/internal/format"
	"saltbush/web/ui"
)

// StatePage is one page in one of its states.
type StatePage struct {
	Name      string // in the address: /_pages/NAME
	Title     string
	Component templ.Component
}

// StatePages lists every component and every state of every page. People look at them, and browser
// tests measure them. All people and places are invented.
func StatePages() []StatePage {
	pages := []StatePage{{"components", "Components", Components(componentsSample())}}
	pages = append(pages, publicPages()...)
	pages = append(pages, screeningPages()...)
	pages = append(pages, cardPages()...)
	pages = append(pages, dayPages()...)
	pages = append(pages, carsPages()...)
	pages = append(pages, watchPages()...)
	pages = append(pages, accessPages()...)
	pages = append(pages, StaffStates()...)
	pages = append(pages, sheetPages()...)
	return append(pages, DrawingStates()...)
}

const sampleDemo = "This is a demo: people and places are invented, and no message leaves it."

// samplePage is the frame of a public page.
func samplePage(title, current string) ui.Page {
	return ui.Page{Title: title, Nav: ui.Nav(ui.Viewer{}, current), Units: format.Metric, Path: "/", Demo: sampleDemo}
}

// samplePrivatePage is the frame of a page behind a private link.
func samplePrivatePage(title string) ui.Page {
	return ui.Page{Title: title, Units: format.Metric, Path: "/", Demo: sampleDemo, Private: true}
}

// sampleStaffPage is the frame of a coordinator's page.
func sampleStaffPage(title, current string) ui.Page {
	v := ui.Viewer{Name: "Ines Calder", SignedIn: true, Roles: []ui.Role{ui.RoleLeader, ui.RoleCoordinator}}
	p := samplePage(title, current)
	p.Viewer, p.Nav = v, ui.Nav(v, current)
	return p
}
