package view

import "strings"

// ToldPage is what was decided, for one person.
type ToldPage struct {
	Page
	URL              string
	Hike, Name, When string
	Words, By        string
	Reason           string // of calling off, "" else
	State            StampText
	Consent          bool     // the place waits for an answer
	Later            NoteText // what was decided since
}

// ToldText is how far the news of a decision has come, for the hike's staff.
type ToldText struct {
	Words, When, Read string
	Calls             []ToldCall
	Trailhead         string // why somebody stands there, "" where nobody needs to
	Stands            Field  // asks who does
	StandsURL         string // "" where it cannot be said here
}

// ToldCall is somebody to telephone.
// Part is theirs on the staff, "" for a person with a place.
type ToldCall struct{ Name, Part, Phone, Reminder string }

func (t ToldText) calls() LedgerText {
	l := LedgerText{Caption: "To be telephoned: they have not said that they read it", Cards: true, Columns: []Column{{Label: "Name"}, {Label: "Phone"}, {Label: "Mail"}}}
	for _, c := range t.Calls {
		l.Rows = append(l.Rows, []Cell{{Text: c.Name, Note: c.Part}, linkTo("tel:", c.Phone), {Text: c.Reminder}})
	}
	return l
}

// DecisionWay is a form for a more cautious way to go.
type DecisionWay struct {
	Outcome, Title, Says, Button string
	Clock, Turn, Trail, Reason   Field // those that are asked have a name
	Open                         bool  // it came back
}

func (w DecisionWay) asked() []Field {
	var asked []Field
	for _, f := range []Field{w.Clock, w.Turn, w.Trail, w.Reason} {
		if f.Name != "" {
			asked = append(asked, f)
		}
	}
	return asked
}

// NewDecisionWays asks for each of them; the answers belong to the form that came back,
// told by its outcome.
func NewDecisionWays(a Answers, start string, trails []Option) []DecisionWay {
	sent := first(a.Typed["outcome"])
	way := func(w DecisionWay) DecisionWay {
		of := Answers{}
		if w.Open = sent == w.Outcome; w.Open {
			of = a
		}
		for _, f := range []*Field{&w.Clock, &w.Turn, &w.Trail} {
			if f.Name != "" {
				*f = of.Asked(*f)
			}
		}
		w.Reason = of.Asked(Field{Name: "reason", ID: "way-reason-" + strings.ReplaceAll(w.Outcome, " ", "-"), Label: "Reason", Optional: true, Hint: "Needed where the plan of it does not say go. It is kept."})
		return w
	}
	return []DecisionWay{
		way(DecisionWay{Outcome: "earlier", Title: "Earlier", Button: "Go earlier", Says: "The same walk with an earlier start. A new plan is made for it.",
			Clock: Field{Name: "start", ID: "way-start", Label: "Start walking at", Short: true, Value: start, Hint: "The meeting time moves with it."}}),
		way(DecisionWay{Outcome: "shorter", Title: "Shorter", Button: "Go shorter", Says: "The short way that the plan names, or one that turns back sooner.",
			Turn: Field{Name: "turn", ID: "way-turn", Label: "Turns back at"}}),
		way(DecisionWay{Outcome: "other trail", Title: "Another trail", Button: "Move to that trail", Says: "To the same or an easier class with notice. To a harder one each place waits until its person agrees, and the leader must be fit for it. Look at the forecast: it is that of the old trailhead.",
			Trail: Field{Name: "trail", ID: "way-trail", Label: "Trail", Options: append([]Option{{Value: "", Label: "choose a trail"}}, trails...)}}),
	}
}
