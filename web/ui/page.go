package ui

import "saltbush/internal/format"

// Role is a role of a viewer who has signed in, as far as pages need to know it.
type Role string

// The roles of an organization.
const (
	RoleLeader      Role = "leader"
	RoleOnCall      Role = "on-call"
	RoleSafety      Role = "safety officer"
	RoleTrainer     Role = "trainer"
	RoleCoordinator Role = "coordinator"
)

// Viewer is the person who reads the page.
type Viewer struct {
	Name     string // as shown in the head of the page
	SignedIn bool
	Roles    []Role
}

// Has reports whether the viewer holds the role.
func (v Viewer) Has(role Role) bool {
	for _, r := range v.Roles {
		if r == role {
			return true
		}
	}
	return false
}

// NavLink is one index tab.
type NavLink struct {
	Label, URL string
	Current    bool
}

// Flash is a sentence about what was just done, with its undo where there is one.
type Flash struct {
	Text    string
	Grave   bool   // it failed
	UndoURL string // POST target that takes it back, "" where nothing can be taken back
	Undo    string // words on the undo button, such as "Put me back on the list"
}

// Page is what the frame around every page needs. Page structs embed it.
type Page struct {
	Title     string // in the browser's title bar; "Saltbush" is added
	Viewer    Viewer
	Nav       []NavLink
	Flash     Flash
	Demo      string        // the sentence of the demo's banner, "" when this is no demo
	Units     format.System // units in which figures are shown
	Path      string        // this page's path, where the unit switch leads back to
	Emergency string        // the local emergency number, "" where the house has set none
	Private   bool          // opened by a private link: no tabs, hidden from search engines
}

// Nav lists the index tabs that a viewer sees. Current is the label of the tab that the
// page belongs to, "" for none.
func Nav(v Viewer, current string) []NavLink {
	links := []NavLink{{Label: "Hikes", URL: "/"}}
	leads := v.Has(RoleLeader) || v.Has(RoleCoordinator)
	if leads {
		links = append(links, NavLink{Label: "Desk", URL: "/desk"})
	}
	if leads || v.Has(RoleOnCall) || v.Has(RoleSafety) {
		links = append(links, NavLink{Label: "Board", URL: "/board"})
	}
	if v.SignedIn {
		links = append(links, NavLink{Label: "My part", URL: "/mine"})
	}
	links = append(links, NavLink{Label: "Trails", URL: "/trails"})
	switch {
	case v.Has(RoleCoordinator):
		links = append(links, NavLink{Label: "Staff", URL: "/staff"}, NavLink{Label: "People", URL: "/people"},
			NavLink{Label: "House", URL: "/house"})
	case v.Has(RoleTrainer):
		links = append(links, NavLink{Label: "Staff", URL: "/staff/people"})
	}
	if v.Has(RoleSafety) {
		links = append(links, NavLink{Label: "Cards", URL: "/cards"})
	}
	if v.Has(RoleSafety) || v.Has(RoleCoordinator) {
		links = append(links, NavLink{Label: "Kept", URL: "/retention"})
	}
	for i := range links {
		links[i].Current = links[i].Label == current
	}
	return links
}

// emergencyLine is the first sentence of the foot.
func (p Page) emergencyLine() string {
	if p.Emergency == "" {
		return "In an emergency call the local emergency number first. Say where you are first."
	}
	return "In an emergency call the local emergency number, " + p.Emergency + ", first. Say where you are first."
}

// otherUnits is the system that the switch in the foot changes to.
func (p Page) otherUnits() format.System {
	if p.Units == format.US {
		return format.Metric
	}
	return format.US
}

// sprigLeaves is the outline of the leaves, as an SVG path.
const sprigLeaves = "M26 14C20 11 20 5 25 2c5 3 6 8 1 12Z" +
	"M25 22C18 22 14 18 14 12c6 0 11 3 11 10Z" +
	"M25 21C26 14 31 11 37 12c0 6-5 10-12 9Z" +
	"M24.500 31C17 33 11 30 9 24c7-2 13 0 15.500 7Z" +
	"M24.500 30C27 23 33 20 40 22c-1 7-8 10-15.500 8Z" +
	"M24 39C18 42 12 40 9 36c5-4 12-3 15 3Z" +
	"M24 39C27 33 33 31 39 33c-2 6-8 9-15 6Z"
