package signups

import (
	"fmt"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// Answers is a request for a place in the form that asks for it.
type Answers struct {
	signup.SignUp
	Ride RideAnswer
}

// FormFor is what the form for a place depends on.
type FormFor struct {
	Rules rules.Rules
	Carry unit.Volume // what the plan asks of each person; 0 without a plan
	Units format.System
	Now   time.Time
}

// SignUpForm is the form for a place. It never shows again what a person tells for the talk before
// the hike.
func SignUpForm(x FormFor) kit.Questions[Answers] {
	form := append(whoQuestions(x), contactQuestions()...)
	talk := append(walkQuestions(x), waterQuestion(x))
	talk = append(talk, heatQuestions()...)
	talk = append(talk, gearQuestions()...)
	form = append(form, talk.NeverShown()...)
	form = append(form, kit.PartOf(func(a *Answers) *signup.Car { return &a.Car }, carQuestions())...)
	form = append(form, kit.PartOf(func(a *Answers) *RideAnswer { return &a.Ride }, rideQuestions())...)
	return append(form, kit.Box(ui.Field{
		Name:  "agree",
		Label: "I have read these sentences, I understand them, and I come by my own decision.",
	}, func(a *Answers) *bool { return &a.Acknowledged }))
}

func whoQuestions(x FormFor) kit.Questions[Answers] {
	return kit.Questions[Answers]{
		kit.Line(ui.Field{
			Name: "name", Label: "Your name", Hint: "As your family would say it.", Autocomplete: "name",
		}, func(a *Answers) *string { return &a.Name }),
		kit.Line(ui.Field{
			Name: "email", Label: "Mail address", Kind: "email", Autocomplete: "email",
			Hint: "Your place and your water come here. It is not shown to other walkers.",
		}, func(a *Answers) *string { return &a.Email }),
		kit.Line(ui.Field{
			Name: "mobile", Label: "Mobile you carry that day", Kind: "tel", Autocomplete: "tel",
			Hint: "With its area code; start a foreign number with + and the country.",
		}, func(a *Answers) *string { return &a.Mobile }),
		ageQuestion(x.Rules),
		kit.Line(ui.Field{Name: "guardian", Label: "Name of parent or guardian", Optional: true},
			func(a *Answers) *string { return &a.Guardian }),
		kit.Line(ui.Field{Name: "guardian_tel", Label: "Their phone number", Optional: true, Kind: "tel"},
			func(a *Answers) *string { return &a.GuardianPhone }),
		kit.Line(ui.Field{
			Name: "adult", Label: "Adult on this hike who answers for the child", Optional: true,
			Hint: fmt.Sprintf("By name, as they signed up. One adult answers for %d children at most.",
				x.Rules.MinorsPerAdult),
		}, func(a *Answers) *string { return &a.Adult }),
		consentQuestion(x.Now),
	}
}

// ageQuestion asks for an age band, because no rule needs more.
func ageQuestion(r rules.Rules) kit.Question[Answers] {
	field := ui.Field{Name: "age", Label: "How old are you on that day?",
		Hint: "The band is enough.", Options: []ui.Option{
			{Value: "adult", Label: fmt.Sprintf("%d to %d", r.YoungestAlone, r.TalkFrom-1)},
			{
				Value: "minor", Label: fmt.Sprintf("Under %d", r.YoungestAlone),
				Note: "A parent or guardian agrees for you.",
			},
			{
				Value: "older", Label: fmt.Sprintf("%d or over", r.TalkFrom),
				Note: "Welcome. On strenuous hikes we ask for a like walk lately.",
			},
		}}
	return kit.Question[Answers]{
		Field: field,
		Cell:  kit.CellWord,
		Set: func(f kit.Form, to *Answers) {
			age := f.Text(field.Name)
			to.Minor, to.SelfReport.Older = age == "minor", age == "older"
			if age != "adult" && age != "minor" && age != "older" {
				f.Faults.Add(field.Name, "Say which it is: the band is enough.")
			}
		},
		Get: func(a Answers) []string {
			switch {
			case a.Minor:
				return []string{"minor"}
			case a.SelfReport.Older:
				return []string{"older"}
			}
			return []string{"adult"}
		},
	}
}

// consentQuestion stores when a guardian agreed.
func consentQuestion(now time.Time) kit.Question[Answers] {
	return kit.Question[Answers]{
		Field: ui.Field{
			Name: "consent", Kind: ui.KindCheck, Optional: true,
			Label: "I am the parent or legal guardian. I have read the risks below, and I agree that the child comes.",
		},
		Cell: kit.CellBox,
		Set: func(f kit.Form, to *Answers) {
			if f.Checked("consent") {
				to.Consented = now
			}
		},
		Get: func(a Answers) []string {
			if a.Consented.IsZero() {
				return nil
			}
			return []string{"yes"}
		},
	}
}

func contactQuestions() kit.Questions[Answers] {
	return kit.Questions[Answers]{
		kit.Line(ui.Field{
			Name: "contact", Label: "Who should we call?",
			Hint: "Someone who stays at home that day, not one of this hike.",
		}, func(a *Answers) *string { return &a.EmergencyName }),
		kit.Line(ui.Field{
			Name: "contact_tel", Label: "Their phone number", Kind: "tel",
			Hint: "Start a foreign number with + and the country.",
		}, func(a *Answers) *string { return &a.EmergencyPhone }),
		kit.Line(ui.Field{
			Name: "contact_email", Label: "Their mail address", Kind: "email", Optional: true,
			Hint: "Three days before the hike we ask them there whether they can be reached. Without it a leader " +
				"calls them.",
		}, func(a *Answers) *string { return &a.ContactEmail }),
	}
}

func walkQuestions(x FormFor) kit.Questions[Answers] {
	far, up := "km", "m"
	if x.Units == format.US {
		far, up = "mi", "ft"
	}
	return kit.Questions[Answers]{
		kit.Length(
			ui.Field{Name: "walk_distance", Label: "How far was your longest walk lately?", Short: true}, "walk_unit",
			func(a *Answers) *unit.Length { return &a.SelfReport.Walk.Distance },
			"Give how far it was, such as 8; 0 where there was none.",
		),
		unitQuestion("walk_unit", far, "km", "mi"),
		kit.Length(
			ui.Field{Name: "walk_climb", Label: "How much did it climb?", Hint: "0 for level ground.", Short: true},
			"climb_unit",
			func(a *Answers) *unit.Length { return &a.SelfReport.Walk.Ascent },
			"Give how much it climbed, such as 200; 0 for level ground.",
		),
		unitQuestion("climb_unit", up, "m", "ft"),
		kit.Number(
			ui.Field{Name: "walk_hours", Label: "How long did it take?", Unit: "hours", Short: true},
			func(a *Answers, v float64) { a.SelfReport.Walk.Took = time.Duration(v * float64(time.Hour)) },
			"Give how many hours it took, such as 2.5.",
		),
		kit.Number(
			ui.Field{Name: "walk_ago", Label: "How long ago was it?", Unit: "weeks", Short: true},
			func(a *Answers, v float64) { a.SelfReport.WalkAgo = int(7 * v) },
			"Give how many weeks ago it was; 0 for this week.",
		),
		kit.Paragraph(ui.Field{Name: "longest", Label: "Where was it, and how did you feel after?"},
			func(a *Answers) *string { return &a.LongestWalk }),
	}
}

// unitQuestion offers units, with the viewer's own selected.
func unitQuestion(name, own string, all ...string) kit.Question[Answers] {
	field := ui.Field{Name: name, Label: "in", Kind: ui.KindSelect, Short: true}
	for _, u := range all {
		field.Options = append(field.Options, ui.Option{Value: u, Label: u, Selected: u == own})
	}
	q := kit.ReadElsewhere[Answers](field)
	q.Cell = kit.CellWord
	return q
}

func heatQuestions() kit.Questions[Answers] {
	return kit.Questions[Answers]{
		kit.Whole(ui.Field{
			Name: "hot_days", Label: "On how many of the last 14 days did you walk or work in heat?", Unit: "days",
			Short: true,
		}, func(a *Answers) *int { return &a.HotDays }, "Give a whole number of days, 0 to 14."),
		kit.YesNo(ui.Field{Name: "hot_before", Label: "Have you walked in hot weather before?"},
			func(a *Answers) *bool { return &a.SelfReport.HotBefore }),
		kit.YesNo(ui.Field{Name: "lives_here", Label: "Have you been in this climate for more than two weeks?"},
			func(a *Answers) *bool { return &a.SelfReport.LivesHere }),
		daysHereQuestion(),
		kit.Line(ui.Field{Name: "from", Label: "and where did you come from?", Optional: true},
			func(a *Answers) *string { return &a.SelfReport.From }),
		kit.YesNo(ui.Field{Name: "heat_ill", Label: "Has heat ever made you ill?"},
			func(a *Answers) *bool { return &a.SelfReport.HeatIll }),
		kit.YesNo(ui.Field{
			Name: "health", Label: "Is there anything about your health that heat or effort could touch?",
			Hint: "Heart, lungs, diabetes, pregnancy, a medicine. Do not write what it is: a yes means that the " +
				"leader will call you.",
		}, func(a *Answers) *bool { return &a.SelfReport.Health }),
	}
}

// daysHereQuestion is required of those who do not live in the climate.
func daysHereQuestion() kit.Question[Answers] {
	q := kit.Whole(ui.Field{Name: "here", Label: "If not: for how many days?",
		Unit: "days", Short: true, Optional: true},
		func(a *Answers) *int { return &a.SelfReport.Here }, "Give a whole number of days.")
	read := q.Set
	q.Set = func(f kit.Form, to *Answers) {
		read(f, to)
		if f.Text("lives_here") == "no" && f.Text("here") == "" {
			f.Faults.Add("here", "Give for how many days you have been here; 0 if you are still to come.")
		}
	}
	return q
}

func waterQuestion(x FormFor) kit.Question[Answers] {
	field := ui.Field{Name: "water", Label: "How much water can you carry?", Unit: "liters", Short: true}
	if x.Carry > 0 {
		field.Hint = "This hike needs " + format.Volume(x.Carry, format.Metric) + " of each person."
		if x.Units == format.US {
			field.Hint += " That is " + format.Volume(x.Carry, format.US) + "."
		}
	}
	return kit.Number(field, func(a *Answers, v float64) { a.Water = unit.Volume(v) },
		"Enter liters, such as 4 or 4.5.")
}

func gearQuestions() kit.Questions[Answers] {
	return kit.Questions[Answers]{
		kit.Line(ui.Field{
			Name: "shoes", Label: "What shoes do you walk in?",
			Hint: "Closed, with a tread. With others you are turned away.",
		}, func(a *Answers) *string { return &a.SelfReport.Shoes }),
		kit.Box(ui.Field{Name: "poles", Label: "I bring walking poles.", Optional: true},
			func(a *Answers) *bool { return &a.SelfReport.Poles }),
		kit.Paragraph(ui.Field{
			Name: "needs", Label: "Anything the leader should do for you that day?", Optional: true,
			Hint: "What to do is enough: no diagnosis needed. It is kept sealed; those who lead this hike read it on " +
				"the day, " +
				"and your own page lets you write more or take it away.",
		}, func(a *Answers) *string { return &a.Needs }),
		kit.Minutes(ui.Field{
			Name: "drive", Label: "How long do you drive to the trailhead?", Short: true, Optional: true,
			Hint: "So that no place is offered to you too late to come.",
		}, func(a *Answers) *time.Duration { return &a.SelfReport.Drive }),
	}
}
