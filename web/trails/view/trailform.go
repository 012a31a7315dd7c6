package view

import "saltbush/web/ui"

// TrailFormPage adds a trail from a track, or edits the words of one.
type TrailFormPage struct {
	ui.Page
	Edit    bool   // without file and shape, which have their own forms
	URL     string // where the form posts
	BackURL string
	Fields  ui.Fields
	Zones   []string // suggestions; any IANA name may be typed
}

func (p TrailFormPage) head() ui.HeadText {
	if p.Edit {
		return ui.HeadText{Over: "Trail", Title: "Edit the words",
			Lede: "The track itself and its shape are changed on the trail's own page."}
	}
	return ui.HeadText{Over: "Trails", Title: "Add a trail",
		Lede: "Length, climb and difficulty are worked out from the track."}
}

// fileLost reports whether the file has to be chosen again, because a browser never fills one in.
func (p TrailFormPage) fileLost() bool { return !p.Edit && ui.HasErrors(p.Fields) }
