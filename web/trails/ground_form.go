package trails

import (
	"saltbush/internal/format"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

const giveTheDay = "Give the day, such as 2027-03-14."

// ScoutForm asks for a report by somebody who walked the trail.
func ScoutForm() kit.Questions[trail.ScoutReport] {
	return kit.Questions[trail.ScoutReport]{
		kit.Date(ui.Field{Name: "walked", ID: "scout-walked", Label: "Walked on", Short: true},
			func(x *trail.ScoutReport) *unit.Date { return &x.Walked }, giveTheDay),
		kit.Line(ui.Field{Name: "scout_by", Label: "By", Hint: "Who can be asked."},
			func(x *trail.ScoutReport) *string { return &x.By }),
		kit.Line(ui.Field{Name: "times", Label: "Times", Optional: true, Hint: "How long it took, and with how many."},
			func(x *trail.ScoutReport) *string { return &x.Times }),
		kit.Paragraph(ui.Field{
			Name: "conditions", Label: "How the way is", Hint: "Footing, washouts, signs, shade, the road in.",
		}, func(x *trail.ScoutReport) *string { return &x.Conditions }),
		kit.Line(ui.Field{
			Name: "hazards", Label: "Hazards", Optional: true,
			Hint: "With their place: bees at the second tree, a loose step at 2.1 km.",
		}, func(x *trail.ScoutReport) *string { return &x.Hazards }),
	}
}

// ClosureForm asks for a closure.
func ClosureForm() kit.Questions[trail.Closure] {
	blocks := ui.Field{Name: "blocks", Label: "What it means", Options: []ui.Option{
		{
			Value: "yes", Label: "No hike goes here", Selected: true,
			Note: "Hikes on these days cannot be posted or moved here.",
		},
		{Value: "no", Label: "A caution", Note: "A part is closed, or a use of it; hikes are flagged."},
	}}
	return kit.Questions[trail.Closure]{
		kit.Date(ui.Field{Name: "from_day", Label: "First day", Short: true},
			func(c *trail.Closure) *unit.Date { return &c.From }, giveTheDay),
		kit.Date(ui.Field{
			Name: "to_day", Label: "Last day", Short: true, Optional: true, Hint: "Empty until further notice.",
		}, func(c *trail.Closure) *unit.Date { return &c.To }, giveTheDay),
		kit.Line(ui.Field{Name: "why", Label: "What is closed, and why"},
			func(c *trail.Closure) *string { return &c.Why }),
		kit.Line(ui.Field{Name: "source", Label: "Whose word it is", Hint: "The land manager's page, a call, a sign."},
			func(c *trail.Closure) *string { return &c.Source }),
		{
			Field: blocks,
			Set:   func(f kit.Form, c *trail.Closure) { c.Blocks = f.Text(blocks.Name) != "no" },
		},
	}
}

// PointForm asks for a place on the trail, with its distance in the viewer's unit.
func PointForm(u format.System) kit.Questions[trail.Point] {
	return kit.Questions[trail.Point]{
		kit.Word(ui.Field{
			Name: "kind", Label: "What it is", Kind: ui.KindSelect, Options: kit.OptionsOf(trail.PointKinds()),
			Short: true,
		}, func(p *trail.Point) *trail.PointKind { return &p.Kind }),
		kit.Line(ui.Field{
			Name: "name", ID: "point-name", Label: "Its name", Hint: "As you would say it to somebody who is lost.",
		}, func(p *trail.Point) *string { return &p.Name }),
		kit.Length(ui.Field{
			Name: "along", Label: "Distance from the start", Hint: "Along the way, not as the crow flies.", Short: true,
		}, "along_unit", func(p *trail.Point) *unit.Length { return &p.Along },
			"Give a distance from the start, such as 2.4."),
		kit.ReadElsewhere[trail.Point](ui.Field{
			Name: "along_unit", Label: "Measured in", Kind: ui.KindSelect, Short: true, Options: []ui.Option{
				{Value: "km", Label: "kilometres", Selected: u != format.US},
				{Value: "mi", Label: "miles", Selected: u == format.US},
			},
		}),
		kit.Line(ui.Field{
			Name: "note", Label: "Note", Optional: true, Hint: "Such as: shade until nine, room for twelve.",
		}, func(p *trail.Point) *string { return &p.Note }),
		waterSeenQuestion(),
	}
}

func waterSeenQuestion() kit.Question[trail.Point] {
	field := ui.Field{
		Name: "water_seen", Label: "Water seen on", Optional: true, Kind: ui.KindDate, Short: true,
		Hint: "Only for water: the day on which the house confirmed it. " +
			"Without a day within 30 days before a hike, no plan counts on it.",
	}
	return kit.Question[trail.Point]{
		Field: field,
		Set: func(f kit.Form, p *trail.Point) {
			p.WaterSeen = f.Date(field.Name, "Give the day, such as 2027-03-14, or leave it empty.").Time()
		},
	}
}

// YearForm asks for the monthly normals of a trailhead.
func YearForm() kit.Questions[trail.TrailNormals] {
	return kit.Questions[trail.TrailNormals]{
		{
			Field: ui.Field{
				Name: "normals", Label: "Months", Kind: ui.KindArea, Optional: true,
				Hint: "One month a line, each figure with its unit: 19C or 66F, 3m/s or 7mph, 15%. " +
					"The head may name humidity (at the hottest hour) in place of dewpoint. " +
					"hot_by is how much hotter a hot day of the month is; " +
					"without it the house's allowance for the forecast is taken. A month left empty is not known.",
			},
			Set: func(f kit.Form, n *trail.TrailNormals) {
				var err error
				if n.Normals, err = readNormals(f.Values.Get("normals")); err != nil {
					f.Faults.Add("normals", err.Error())
				}
			},
			Get: func(n trail.TrailNormals) []string { return []string{n.Normals.Text()} },
		},
		kit.ReadElsewhere[trail.TrailNormals](ui.Field{
			Name: "normals_file", Label: "Or a CSV file of the same form", Kind: ui.KindFile, Optional: true,
		}),
		kit.Line(ui.Field{
			Name: "normals_source", Label: "Where they are from", Optional: true,
			Hint: "Such as: means of 1991 to 2020 at the nearest weather station, " +
				"and how much higher or lower that stands.",
		}, func(n *trail.TrailNormals) *string { return &n.Source }),
	}
}
