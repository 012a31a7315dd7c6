package view

import "saltbush/web/ui"

// TrailFormPage adds a trail from a track, or edits the words of one.
type TrailFormPage struct {
	ui.Page
	Edit    bool   // no file and no shape: they have their own places
	URL     string // where the form posts
	BackURL string
	Fields  TrailFields
	Zones   []string // offered while typing; any other IANA name may be typed
}

// TrailFields are the questions about a trail.
type TrailFields struct {
	File, Name, Summary, Zone, Surface, Shape, Meeting, Manager, PermitCap, PermitStaff, PermitNumber, Signal ui.Field
}

// NewTrailFields asks about a trail. Surfaces are offered in their order.
func NewTrailFields(a ui.FormState, surfaces []ui.Option) TrailFields {
	return TrailFields{
		File:    a.Bind(ui.Field{Name: "file", Label: "GPX file", Hint: "The track as somebody walked it, from a phone or a GPS. Waypoints near the line become points."}),
		Name:    a.Bind(ui.Field{Name: "name", Label: "Name", Optional: true, Hint: "Left empty, the name in the file is taken."}),
		Summary: a.Bind(ui.Field{Name: "summary", Label: "What the way is like", Optional: true, Hint: "For the public, in a few sentences: the ground, the worst step, where the shade is."}),
		Zone:    a.Bind(ui.Field{Name: "zone", Label: "Time zone of the trailhead", Hint: "Every clock time of hikes here is read in it. Written as region and city, such as America/Phoenix."}),
		Surface: a.Bind(ui.Field{Name: "surface", Label: "Underfoot, for most of the way", Options: surfaces, Short: true, Hint: "Rough ground slows a group; the plan allows for it."}),
		Shape:   NewShapeField(a, "out-and-back"),
		Meeting: a.Bind(ui.Field{Name: "meeting", Label: "Meeting point", Optional: true, Hint: "Where people meet, how to get there, where to park."}),
		Manager: a.Bind(ui.Field{Name: "manager", Label: "Land manager", Optional: true, Hint: "Who manages the land, and how to reach them."}),
		PermitCap: a.Bind(ui.Field{Name: "permit_cap", Label: "Largest party allowed", Optional: true, Short: true, Unit: "people",
			Hint: "As the permit says. Leave it empty where no cap is known."}),
		PermitStaff: a.Bind(ui.Field{Name: "permit_staff", Label: "Does the permit count staff?", Options: []ui.Option{
			{Value: "yes", Label: "Yes, everyone in the party", Selected: true}, {Value: "no", Label: "No, participants alone"}}}),
		PermitNumber: a.Bind(ui.Field{Name: "permit_number", Label: "Permit number", Optional: true, Hint: "What the land manager files it under."}),
		Signal:       a.Bind(ui.Field{Name: "signal", Label: "Phone signal", Optional: true, Hint: "What is known, and where. Left empty, everybody reads \"not known\"."}),
	}
}

// forEdit asks for a name: there is no file to take it from.
func (f TrailFields) forEdit() TrailFields {
	f.Name.Optional, f.Name.Hint = false, ""
	return f
}

// All lists the questions of the form that is shown.
func (p TrailFormPage) All() []ui.Field {
	f := p.asked()
	words := []ui.Field{f.Name, f.Summary, f.Zone, f.Surface}
	rest := []ui.Field{f.Meeting, f.Manager, f.PermitCap, f.PermitStaff, f.PermitNumber, f.Signal}
	if p.Edit {
		return append(words, rest...)
	}
	return append(append(append([]ui.Field{f.File}, words...), f.Shape), rest...)
}

func (p TrailFormPage) asked() TrailFields {
	if p.Edit {
		return p.Fields.forEdit()
	}
	return p.Fields
}

func (p TrailFormPage) head() ui.HeadText {
	if p.Edit {
		return ui.HeadText{Over: "Trail", Title: "Edit the words", Lede: "The track itself and its shape are changed on the trail's own page."}
	}
	return ui.HeadText{Over: "Trails", Title: "Add a trail", Lede: "Length, climb and difficulty are worked out from the track."}
}

// fileLost reports whether a file was sent and has to be chosen again: a browser never
// gives a file back, whatever was wrong.
func (p TrailFormPage) fileLost() bool { return !p.Edit && ui.HasErrors(p.All()) }
