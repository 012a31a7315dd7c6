package view

import "github.com/a-h/templ"

// StatePage is one page, or one state of a page, drawn from fixed data.
type StatePage struct {
	Name      string // in the URL under /_pages/
	Title     string
	Component templ.Component
}

// StatePages lists every component and every state of every page, drawn from fixed data:
// to be looked at, and to be measured by tests in a browser. People and places in it are
// invented.
func StatePages() []StatePage {
	return []StatePage{
		{"components", "Components", Components(componentsSample())},
	}
}

// samplePage is a frame for fixed data.
func samplePage(title, current string) Page {
	return Page{Title: title, Nav: Nav(Viewer{}, current), Units: Metric, Path: "/", Demo: "This is a demo. People and places are invented, and no message leaves it."}
}

// sampleStaffPage is a frame as a coordinator sees it.
func sampleStaffPage(title, current string) Page {
	v := Viewer{Name: "Ines Calder", SignedIn: true, Roles: []Role{RoleLeader, RoleCoordinator}}
	p := samplePage(title, current)
	p.Viewer, p.Nav = v, Nav(v, current)
	return p
}
