package hikes

import (
	"strconv"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/team"
	"saltbush/internal/walk"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// HikeFormFor is what the form of a hike offers, and what reading it needs.
type HikeFormFor struct {
	Trails, People []ui.Option
	PlacesHint     string
	Zone           *time.Location        // of the chosen trail
	Staff          map[string]team.Staff // who may be chosen, by the value of the option
}

// assistants is how many the form asks for: with leader and sweep, staff for 40 participants at the
// house's ratio, more than any group that is led as one.
const assistants = 3

// HikeForm asks about a hike. Trails and people are offered in their order, with nobody selected.
func HikeForm(x HikeFormFor) kit.Questions[hike.Hike] {
	return append(append(whenQuestions(x), staffQuestions(x)...), onCallQuestions()...)
}

func whenQuestions(x HikeFormFor) kit.Questions[hike.Hike] {
	return kit.Questions[hike.Hike]{
		{
			Field: ui.Field{
				Name: "trail", Label: "Trail", Kind: ui.KindSelect,
				Options: append([]ui.Option{{Value: "", Label: "choose a trail"}}, x.Trails...),
			},
			Get: func(h hike.Hike) []string { return []string{numberOf(h.Trail)} },
		},
		kit.Line(ui.Field{
			Name: "title", Label: "Title", Optional: true,
			Hint: "As it stands in the calendar; empty for the trail's name. " +
				"Where it names the trail it follows when the hike moves to another.",
		}, func(h *hike.Hike) *string { return &h.Title }),
		{
			Field: ui.Field{Name: "date", Label: "Date", Kind: ui.KindDate, Short: true},
			Get:   func(h hike.Hike) []string { return []string{h.Start.Format(time.DateOnly)} },
		},
		clockQuestion(x, "meet", "Meet at", func(h *hike.Hike) *time.Time { return &h.Meet }),
		clockQuestion(x, "start", "Start walking at", func(h *hike.Hike) *time.Time { return &h.Start }),
		kit.Whole(ui.Field{Name: "places", Label: "Places for participants", Short: true, Hint: x.PlacesHint},
			func(h *hike.Hike) *int { return &h.Places }, "Give a whole number of places."),
		paceQuestion(),
	}
}

// clockQuestion asks for a time on the day of the hike, by the clock of the trailhead.
func clockQuestion(x HikeFormFor, name, label string, at func(*hike.Hike) *time.Time) kit.Question[hike.Hike] {
	return kit.Question[hike.Hike]{
		Field: ui.Field{Name: name, Label: label, Kind: ui.KindTime, Short: true},
		Set:   func(f kit.Form, h *hike.Hike) { *at(h) = f.Moment("date", name, x.Zone) },
		Get:   func(h hike.Hike) []string { return []string{at(&h).Format("15:04")} },
	}
}

// paceQuestion says what each pace means. Speeds are those of package walk on level, firm ground,
// without breaks.
func paceQuestion() kit.Question[hike.Hike] {
	return kit.Word(ui.Field{
		Name: "pace", Label: "Pace", Hint: "That of the slowest person it is meant for.", Options: []ui.Option{
			{
				Value: "gentle", Label: "Gentle",
				Note: "About 3.3 km/h (2.1 mph) on level ground. For people who seldom walk this far.",
			},
			{
				Value: "ordinary", Label: "Ordinary", Selected: true,
				Note: "About 4.1 km/h (2.6 mph) on level ground. For people who walk now and then.",
			},
			{
				Value: "brisk", Label: "Brisk",
				Note: "About 4.9 km/h (3.0 mph) on level ground. For people who are fit and know it from recent walks.",
			},
		},
	}, func(h *hike.Hike) *walk.Pace { return &h.Pace })
}

func staffQuestions(x HikeFormFor) kit.Questions[hike.Hike] {
	anybody := append([]ui.Option{{Value: "", Label: "nobody yet"}}, x.People...)
	list := kit.Questions[hike.Hike]{
		staffQuestion(x, team.Leader, ui.Field{
			Name: "leader", Label: "Leader", Hint: "A hike can be posted once somebody leads it.",
			Kind: ui.KindSelect, Options: anybody,
		}),
		staffQuestion(x, team.Sweep, ui.Field{
			Name: "sweep", Label: "Sweep", Hint: "Walks last, and is always named.",
			Kind: ui.KindSelect, Options: anybody, Optional: true,
		}),
	}
	for i := range assistants {
		field := ui.Field{
			Name: "assistant", ID: "assistant-" + strconv.Itoa(i+1), Label: "Assistant",
			Kind: ui.KindSelect, Options: anybody, Optional: true,
		}
		q := kit.Question[hike.Hike]{Field: field}
		if i == 0 {
			q = staffQuestion(x, team.Assistant, field) // reads and fills in all of them
		}
		q.Nth = i + 1
		list = append(list, q)
	}
	return list
}

// staffQuestion adds those who are chosen for a role to the staff. Nobody can have two roles.
func staffQuestion(x HikeFormFor, role team.Role, field ui.Field) kit.Question[hike.Hike] {
	return kit.Question[hike.Hike]{
		Field: field,
		Set: func(f kit.Form, h *hike.Hike) {
			for _, id := range f.Values[field.Name] {
				m, known := x.Staff[id]
				_, taken := hike.MemberOf(*h, m.Account)
				switch {
				case id == "":
				case !known:
					f.Faults.Add(field.Name, "Choose somebody of this list.")
				case taken:
					f.Faults.Add(field.Name, m.Name+" already has another part on this hike.")
				default:
					m.Role = role
					h.Staff = append(h.Staff, m)
				}
			}
		},
		Get: func(h hike.Hike) []string {
			var chosen []string
			for _, m := range h.Staff {
				if m.Role == role {
					chosen = append(chosen, m.Account.String())
				}
			}
			return chosen
		},
	}
}

func onCallQuestions() kit.Questions[hike.Hike] {
	onCall := func(h *hike.Hike) *team.Contact { return &h.OnCall }
	deputy := func(h *hike.Hike) *team.Contact { return &h.Deputy }
	list := kit.PartOf(onCall, contactQuestions(
		ui.Field{Name: "on_call_name", Label: "On call", Hint: "Stays at home, watches the clock, and calls for help."},
		ui.Field{Name: "on_call_phone", Label: "Their phone", Kind: "tel"},
		ui.Field{
			Name: "on_call_email", Label: "Their mail address", Kind: "email", Optional: true,
			Hint: "Where the watch card and every alarm go. Without one, the account with the same phone or name is " +
				"used.",
		},
	))
	list = append(list, kit.PartOf(deputy, contactQuestions(
		ui.Field{Name: "deputy_name", Label: "Deputy", Optional: true,
			Hint: "Takes over where on-call does not answer."},
		ui.Field{Name: "deputy_phone", Label: "Their phone", Kind: "tel", Optional: true},
		ui.Field{Name: "deputy_email", Label: "Their mail address", Kind: "email", Optional: true},
	))...)
	return append(list, kit.Paragraph(ui.Field{
		Name: "notice", Label: "Notice to the public", Optional: true,
		Hint: "What the figures do not say: the worst step, dogs, toilets, what you look forward to.",
	}, func(h *hike.Hike) *string { return &h.Notice }))
}

func contactQuestions(name, phone, email ui.Field) kit.Questions[team.Contact] {
	return kit.Questions[team.Contact]{
		kit.Line(name, func(c *team.Contact) *string { return &c.Name }),
		kit.Line(phone, func(c *team.Contact) *string { return &c.Phone }),
		kit.Line(email, func(c *team.Contact) *string { return &c.Email }),
	}
}
