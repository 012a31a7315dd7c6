package trails

import (
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/walk"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// TrailAnswers is a new trail in the form that asks for it.
type TrailAnswers struct {
	trail.Trail
	Shape track.Shape
}

// TrailForm is the form for a new trail.
func TrailForm() kit.Questions[TrailAnswers] {
	name := ui.Field{Name: "name", Label: "Name", Optional: true, Hint: "Left empty, the name in the file is taken."}
	words := kit.PartOf(func(a *TrailAnswers) *trail.Trail { return &a.Trail }, trailQuestions(name))
	const beforeShape = 4 // name, summary, zone and surface
	form := kit.Questions[TrailAnswers]{kit.ReadElsewhere[TrailAnswers](ui.Field{
		Name: "file", Label: "GPX file", Kind: ui.KindFile,
		Hint: "The track as somebody walked it, from a phone or a GPS. Waypoints near the line become points.",
	})}
	form = append(form, words[:beforeShape]...)
	form = append(form, shapeQuestion(track.OutAndBack))
	return append(form, words[beforeShape:]...)
}

// TrailEditForm is the form for the words of a trail. The track and its shape have their own forms.
func TrailEditForm() kit.Questions[trail.Trail] {
	return trailQuestions(ui.Field{Name: "name", Label: "Name"})
}

func trailQuestions(name ui.Field) kit.Questions[trail.Trail] {
	return kit.Questions[trail.Trail]{
		kit.Line(name, func(t *trail.Trail) *string { return &t.Name }),
		kit.Paragraph(ui.Field{
			Name: "summary", Label: "What the way is like", Optional: true,
			Hint: "For the public, in a few sentences: the ground, the worst step, where the shade is.",
		}, func(t *trail.Trail) *string { return &t.Summary }),
		kit.Line(ui.Field{
			Name: "zone", Label: "Time zone of the trailhead",
			Hint: "Every clock time of hikes here is read in it. Written as region and city, such as America/Phoenix.",
		}, func(t *trail.Trail) *string { return &t.Zone }),
		surfaceQuestion(),
		kit.Paragraph(ui.Field{
			Name: "meeting", Label: "Meeting point", Optional: true,
			Hint: "Where people meet, how to get there, where to park.",
		}, func(t *trail.Trail) *string { return &t.Meeting }),
		kit.Line(ui.Field{
			Name: "manager", Label: "Land manager", Optional: true,
			Hint: "Who manages the land, and how to reach them.",
		}, func(t *trail.Trail) *string { return &t.Manager }),
		kit.Whole(ui.Field{
			Name: "permit_cap", Label: "Largest party allowed", Optional: true, Short: true, Unit: "people",
			Hint: "As the permit says. Leave it empty where no cap is known.",
		}, func(t *trail.Trail) *int { return &t.PermitCap }, "Give a whole number, or leave it empty."),
		permitStaffQuestion(),
		kit.Line(ui.Field{
			Name: "permit_number", Label: "Permit number", Optional: true,
			Hint: "What the land manager files it under.",
		}, func(t *trail.Trail) *string { return &t.PermitNumber }),
		kit.Line(ui.Field{
			Name: "signal", Label: "Phone signal", Optional: true,
			Hint: "What is known, and where. Left empty, everybody reads \"not known\".",
		}, func(t *trail.Trail) *string { return &t.Signal }),
	}
}

func surfaceQuestion() kit.Question[trail.Trail] {
	return kit.Word(ui.Field{
		Name: "surface", Label: "Underfoot, for most of the way", Kind: ui.KindSelect, Short: true,
		Options: kit.OptionsOf(walk.Surfaces()),
		Hint:    "Rough ground slows a group; the plan allows for it.",
	}, func(t *trail.Trail) *walk.Surface { return &t.Surface })
}

// permitStaffQuestion counts staff unless the answer is no.
func permitStaffQuestion() kit.Question[trail.Trail] {
	field := ui.Field{Name: "permit_staff", Label: "Does the permit count staff?", Options: []ui.Option{
		{Value: "yes", Label: "Yes, everyone in the party", Selected: true},
		{Value: "no", Label: "No, participants alone"},
	}}
	return kit.Question[trail.Trail]{
		Field: field,
		Set:   func(f kit.Form, t *trail.Trail) { t.PermitWithoutStaff = f.Text(field.Name) == "no" },
		Get:   func(t trail.Trail) []string { return []string{kit.YesOr(!t.PermitWithoutStaff, "no")} },
	}
}

// ShapeForm asks how a walk uses its track.
func ShapeForm(now track.Shape) kit.Questions[TrailAnswers] {
	return kit.Questions[TrailAnswers]{shapeQuestion(now)}
}

func shapeQuestion(now track.Shape) kit.Question[TrailAnswers] {
	options := []ui.Option{
		{Value: "one-way", Label: "One way", Note: "As recorded; it ends somewhere else."},
		{
			Value: "out-and-back", Label: "Out and back",
			Note: "To the end of the recording and back the same way: length and climb count twice.",
		},
		{Value: "loop", Label: "Loop", Note: "As recorded; it ends where it began."},
	}
	field := ui.Field{
		Name: "shape", Label: "How the track is walked", Options: ui.Chosen(options, []string{string(now)}),
	}
	return kit.Question[TrailAnswers]{
		Field: field,
		Set: func(f kit.Form, to *TrailAnswers) {
			shape, err := track.ParseShape(f.Text(field.Name))
			if err != nil {
				f.Faults.Add(field.Name, "Choose how the track is walked.")
			}
			to.Shape = shape
		},
	}
}
