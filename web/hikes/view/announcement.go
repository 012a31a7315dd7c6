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
	Changed          ui.NoteText // what is different
	Talk             ui.NoteText // why a talk comes before the place is confirmed again
	Consent          bool        // the place waits for an answer
	Leave            bool        // the place can be given back
	Later            ui.NoteText // what was decided since
}

// DecisionOption is a form for a more cautious way to go.
type DecisionOption struct {
	Outcome, Title, Says, Button string
	Clock, Turn, Trail, Reason   ui.Field // fields without a name are not asked
	TurnDistance                 ui.Field
	TurnUnit                     string // in which it is typed, "km" or "mi"
	Open                         bool   // it is shown again
}

func (w DecisionOption) questions() []ui.Field {
	var asked []ui.Field
	for _, f := range []ui.Field{w.Clock, w.Turn, w.TurnDistance, w.Trail, w.Reason} {
		if f.Name != "" {
			asked = append(asked, f)
		}
	}
	return asked
}

// DecisionChoices are what the forms begin with and offer.
type DecisionChoices struct {
	Earlier, Later string   // suggested starts, "06:00"
	Turns          []string // named places at which it can turn back, with their distance
	Turn           string   // the suggested one, or
	TurnDistance   string   // its distance where it has no name
	TurnUnit       string   // "km" or "mi"
	Trails         []ui.Option
}

func (c DecisionChoices) turnHint() string {
	if len(c.Turns) == 0 {
		return "The trail has no named places. Name the place, and give its distance."
	}
	return "A place of the trail: " + strings.Join(c.Turns, "; ") + "."
}

// NewDecisionOptions returns a form for each way. The state belongs to the form that was sent,
// which its outcome tells.
func NewDecisionOptions(a ui.FormState, c DecisionChoices) []DecisionOption {
	sent := ui.First(a.Values["outcome"])
	way := func(w DecisionOption) DecisionOption {
		of := ui.FormState{}
		if w.Open = sent == w.Outcome; w.Open {
			of = a
		}
		for _, f := range []*ui.Field{&w.Clock, &w.Turn, &w.TurnDistance, &w.Trail} {
			if f.Name != "" {
				*f = of.Bind(*f)
			}
		}
		w.Reason = of.Bind(ui.Field{Name: "reason", ID: "way-reason-" + strings.ReplaceAll(w.Outcome, " ", "-"),
			Label: "Reason", Optional: true,
			Hint: "Everybody who is told reads it. Needed where the plan of it does not say go."})
		return w
	}
	return []DecisionOption{
		way(DecisionOption{Outcome: "earlier", Title: "Earlier", Button: "Go earlier",
			Says: "The same walk with an earlier start. A new plan is made for it.",
			Clock: ui.Field{Name: "start", ID: "way-start", Label: "Start walking at", Short: true, Value: c.Earlier,
				Hint: "The meeting time moves with it."}}),
		way(DecisionOption{Outcome: "later", Title: "Later", Button: "Go later",
			Says: "The same walk with a later start. A new plan is made for it; look at its heat.",
			Clock: ui.Field{Name: "start", ID: "way-later", Label: "Start walking at", Short: true, Value: c.Later,
				Hint: "The meeting time moves with it."}}),
		way(DecisionOption{Outcome: "shorter", Title: "Shorter", Button: "Go shorter", TurnUnit: c.TurnUnit,
			Says: "The walk turns back at a nearer place. A new plan is made for it, with its own times and water.",
			Turn: ui.Field{Name: "turn", ID: "way-turn", Label: "Turns back at", Optional: true, Value: c.Turn,
				Hint: c.turnHint()},
			TurnDistance: ui.Field{Name: "turn_distance", ID: "way-turn-distance", Label: "Distance from the start",
				Optional: true, Short: true, Unit: c.TurnUnit, Value: c.TurnDistance,
				Hint: "Only for a place that the trail does not list."}}),
		way(DecisionOption{Outcome: "other trail", Title: "Another trail", Button: "Move to that trail",
			Says: "To the same or an easier walk with notice. Where it asks more, each place waits until its person " +
				"agrees or has had a talk. For a harder class the leader must be fit. Look at the forecast: it is " +
				"that of the old trailhead.",
			Trail: ui.Field{Name: "trail", ID: "way-trail", Label: "Trail",
				Options: append([]ui.Option{{Value: "", Label: "choose a trail"}}, c.Trails...)}}),
	}
}
