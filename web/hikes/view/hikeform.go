package view

import "saltbush/web/ui"

// HikeFormPage schedules a hike or changes what is scheduled.
type HikeFormPage struct {
	ui.Page
	Edit     bool
	URL      string // where the form posts
	BackURL  string
	NoTrails bool // there is no trail to walk on yet
	Fields   HikeFields
	Posted   bool // the public has read it: changes are seen
}

// HikeFields are the questions about a hike.
type HikeFields struct {
	Trail, Title, Date, Meet, Start, Places, Pace, Notice ui.Field
	Leader, Sweep                                         ui.Field
	Assistants                                            []ui.Field
	OnCallName, OnCallPhone, OnCallEmail                  ui.Field
	DeputyName, DeputyPhone, DeputyEmail                  ui.Field
}

// assistants is how many are asked for: with leader and sweep, staff for 40 participants
// at the house's ratio, more than any party that is led as one.
const assistants = 3

// NewHikeFields asks about a hike. Trails and people are offered in their order; nobody
// is chosen beforehand.
func NewHikeFields(a ui.FormState, trails, people []ui.Option) HikeFields {
	anybody := append([]ui.Option{{Value: "", Label: "nobody yet"}}, people...)
	f := HikeFields{
		Trail:  a.Bind(ui.Field{Name: "trail", Label: "Trail", Options: append([]ui.Option{{Value: "", Label: "choose a trail"}}, trails...)}),
		Title:  a.Bind(ui.Field{Name: "title", Label: "Title", Optional: true, Hint: "As it stands in the calendar; empty for the trail's name. Where it names the trail it follows when the hike moves to another."}),
		Date:   a.Bind(ui.Field{Name: "date", Label: "Date", Kind: "date", Short: true}),
		Meet:   a.Bind(ui.Field{Name: "meet", Label: "Meet at", Short: true}),
		Start:  a.Bind(ui.Field{Name: "start", Label: "Start walking at", Short: true}),
		Places: a.Bind(ui.Field{Name: "places", Label: "Places for participants", Short: true, Hint: "Staff do not take places. The house asks for one of staff to eight, and never fewer than two."}),
		Pace:   a.Bind(paceField()),
		Leader: a.Bind(ui.Field{Name: "leader", Label: "Leader", Options: anybody, Hint: "A hike can be posted once somebody leads it."}),
		Sweep:  a.Bind(ui.Field{Name: "sweep", Label: "Sweep", Options: anybody, Optional: true, Hint: "Walks last, and is always named."}),
		Notice: a.Bind(ui.Field{Name: "notice", Label: "Notice to the public", Optional: true, Hint: "What the figures do not say: the worst step, dogs, toilets, what you look forward to."}),

		OnCallName:  a.Bind(ui.Field{Name: "on_call_name", Label: "On call", Hint: "Stays at home, watches the clock, and calls for help."}),
		OnCallPhone: a.Bind(ui.Field{Name: "on_call_phone", Label: "Their phone", Kind: "tel"}),
		OnCallEmail: a.Bind(ui.Field{Name: "on_call_email", Label: "Their mail address", Kind: "email", Optional: true, Hint: "Where the watch card and every alarm go. Without one, the account with the same phone or name is used."}),
		DeputyName:  a.Bind(ui.Field{Name: "deputy_name", Label: "Deputy", Optional: true, Hint: "Takes over where on-call does not answer."}),
		DeputyPhone: a.Bind(ui.Field{Name: "deputy_phone", Label: "Their phone", Kind: "tel", Optional: true}),
		DeputyEmail: a.Bind(ui.Field{Name: "deputy_email", Label: "Their mail address", Kind: "email", Optional: true}),
	}
	for i := range assistants {
		q := ui.Field{Name: "assistant", ID: "assistant-" + string(rune('1'+i)), Label: "Assistant", Options: anybody, Optional: true}
		f.Assistants = append(f.Assistants, a.AskedNth(q, i))
	}
	return f
}

// paceField says what each pace means. Speeds are the walking estimate's own on level,
// firm ground, without breaks: see the paces of package walk.
func paceField() ui.Field {
	return ui.Field{Name: "pace", Label: "Pace", Hint: "That of the slowest person it is meant for.", Options: []ui.Option{
		{Value: "gentle", Label: "Gentle", Note: "About 3.3 km/h (2.1 mph) on level ground. For people who seldom walk this far."},
		{Value: "ordinary", Label: "Ordinary", Note: "About 4.1 km/h (2.6 mph) on level ground. For people who walk now and then.", Selected: true},
		{Value: "brisk", Label: "Brisk", Note: "About 4.9 km/h (3.0 mph) on level ground. For people who are fit and know it from recent walks."},
	}}
}

// All lists the questions for the head of the form.
func (f HikeFields) All() []ui.Field {
	all := []ui.Field{f.Trail, f.Title, f.Date, f.Meet, f.Start, f.Places, f.Pace, f.Leader, f.Sweep}
	all = append(all, f.Assistants...)
	return append(all, f.OnCallName, f.OnCallPhone, f.OnCallEmail, f.DeputyName, f.DeputyPhone, f.DeputyEmail, f.Notice)
}

func (p HikeFormPage) head() ui.HeadText {
	if p.Edit {
		return ui.HeadText{Over: "Hike", Title: "Change the hike"}
	}
	return ui.HeadText{Over: "Desk", Title: "Schedule a hike", Lede: "It stays a draft, seen by staff only, until you post it."}
}
