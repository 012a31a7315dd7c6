package view

import (
	"strings"

	"saltbush/web/ui"
)

// AnnouncementPage tells one person what was decided.
type AnnouncementPage struct {
	ui.Page
	URL              string
	Hike, Name, When string
	Words, By        string
	Reason           string // of calling off, "" else
	State            ui.StampText
	Consent          bool        // the place waits for an answer
	Later            ui.NoteText // what was decided since
}

// DecisionOption is a form for a more cautious way to go.
type DecisionOption struct {
	Outcome, Title, Says, Button string
	Clock, Turn, Trail, Reason   ui.Field // fields without a name are not asked
	Open                         bool     // it is shown again
}

func (w DecisionOption) questions() []ui.Field {
	var asked []ui.Field
	for _, f := range []ui.Field{w.Clock, w.Turn, w.Trail, w.Reason} {
		if f.Name != "" {
			asked = append(asked, f)
		}
	}
	return asked
}

// NewDecisionOptions returns a form for each way. The state belongs to the form that was sent,
// which its outcome tells.
func NewDecisionOptions(a ui.FormState, start string, trails []ui.Option) []DecisionOption {
	sent := ui.First(a.Values["outcome"])
	way := func(w DecisionOption) DecisionOption {
		of := ui.FormState{}
		if w.Open = sent == w.Outcome; w.Open {
			of = a
		}
		for _, f := range []*ui.Field{&w.Clock, &w.Turn, &w.Trail} {
			if f.Name != "" {
				*f = of.Bind(*f)
			}
		}
		w.Reason = of.Bind(ui.Field{Name: "reason", ID: "way-reason-" + strings.ReplaceAll(w.Outcome, " ", "-"),
			Label: "Reason", Optional: true, Hint: "Needed where the plan of it does not say go. It is kept."})
		return w
	}
	return []DecisionOption{
		way(DecisionOption{Outcome: "earlier", Title: "Earlier", Button: "Go earlier",
			Says: "The same walk with an earlier start. A new plan is made for it.",
			Clock: ui.Field{Name: "start", ID: "way-start", Label: "Start walking at", Short: true, Value: start,
				Hint: "The meeting time moves with it."}}),
		way(DecisionOption{Outcome: "shorter", Title: "Shorter", Button: "Go shorter",
			Says: "The short way that the plan names, or one that turns back sooner.",
			Turn: ui.Field{Name: "turn", ID: "way-turn", Label: "Turns back at"}}),
		way(DecisionOption{Outcome: "other trail", Title: "Another trail", Button: "Move to that trail",
			Says: "To the same or an easier class with notice. To a harder one each place waits until its person " +
				"agrees, and the leader must be fit for it. Look at the forecast: it is that of the old trailhead.",
			Trail: ui.Field{Name: "trail", ID: "way-trail", Label: "Trail",
				Options: append([]ui.Option{{Value: "", Label: "choose a trail"}}, trails...)}}),
	}
}
