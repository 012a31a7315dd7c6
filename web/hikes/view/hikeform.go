package view

import "saltbush/web/ui"

// HikeFormPage schedules a hike or changes one.
type HikeFormPage struct {
	ui.Page
	Edit     bool
	URL      string // where the form posts
	BackURL  string
	NoTrails bool // there is no trail to walk on yet
	Fields   ui.Fields
	Posted   bool // the public may have read it
}

func (p HikeFormPage) head() ui.HeadText {
	if p.Edit {
		return ui.HeadText{Over: "Hike", Title: "Change the hike"}
	}
	return ui.HeadText{Over: "Desk", Title: "Schedule a hike",
		Lede: "It stays a draft, seen by staff only, until you post it."}
}
