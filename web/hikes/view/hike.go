package view

import (
	"slices"

	"saltbush/web/ui"
)

// HikePage is the management of one hike.
type HikePage struct {
	ui.Page
	URL                string // "/hikes/12"; forms post to places under it
	Name               string // of the hike
	State              ui.StampText
	When               string // "Sunday 10 May 2026, meet 06:00, walk from 06:30"
	Trail, TrailURL    string
	NoticeURL, EditURL string // EditURL is "" where nothing can be changed any more
	RollURL            string
	Next               ui.NoteText // what wants doing first; the zero value shows none
	Plan               *HikePlan   // nil where there is none
	NoPlan             string      // why there is none
	Forecast           ui.Fields
	ForecastOpen       bool // a forecast may still be typed
	Staff              []HikeStaff
	StaffNote          string   // "3 for 14 places; the house asks for at least 2"
	StaffWarnings      []string // what speaks against the staff, or makes the hike provisional
	StaffingURL        string   // who is free, and who has said yes
	OnCall, Deputy     HikeContact
	OnCallAnswer       string
	OnCallWarning      string   // who lets it go without anybody on call who can be reached, and why
	OnCallReason       ui.Field // asks for that; no name: nobody needs to say
	Decision           DecisionText
	Post               PostText
	TrailNote          ui.NoteText // what is known of the ground that day, and what is not
	DayLinks           DayLinksText
	SignUps            []HikeSignUp
	SaveURL, BringURL  string // sign-ups as a file; "" where the viewer may not
	// HidesTold and HidesReach leave out what people told and how to reach them;
	// SignUpsClosed says from when what is left out can be read.
	HidesTold, HidesReach bool
	SignUpsClosed         string
	Places                string // "12 of 14 places taken, 3 waiting"
	Close                 CloseText
	Papers                []ui.NavLink // other papers of this hike, such as the trip sheet
}

// HikeStaff is one of the staff.
type HikeStaff struct{ Role, Name, Phone, Answer string }

// HikeContact is somebody to ring who is not on the hike.
type HikeContact struct{ Name, Phone, Email string }

// DecisionText is the go decision, open or taken, and the calling off.
type DecisionText struct {
	By    string // the decision hour, "Sat 9 May, 12:30"
	Until string // "in 3 h 10" or "passed 2 h ago"
	Late  bool
	// Made is who decided what and when, "" while open; MadeReason is what they wrote.
	Made, MadeReason string
	On               string               // the figures it was taken on
	Options          []DecisionOption     // more cautious ways to go, open ones alone
	Told             *ui.AnnouncementText // nil where nothing was told yet
	Open             bool                 // to go can be decided now
	ReasonNeeded     string               // why going needs a written reason; "" where it does not
	GoReason         ui.Field
	CanCallOff       bool
	CallOffReason    ui.Field
	// CalledOff is the reason told to everybody, "" where the hike was not called off.
	CalledOff string
}

// NewGoReason asks for the reason to go. It is required where the plan does not say go.
func NewGoReason(a ui.FormState, needed bool) ui.Field {
	return a.Bind(ui.Field{Name: "reason", ID: "go-reason", Label: "Reason", Optional: !needed,
		Hint: "Kept with the decision."})
}

// NewOnCallReason asks why a hike goes without anybody on call who can be reached.
func NewOnCallReason(a ui.FormState) ui.Field {
	return a.Bind(ui.Field{Name: "reason", ID: "on-call-reason", Label: "Why it goes anyway",
		Hint: "Saved with your name, and shown on the desk, the trip sheet, the roll and the watch page."})
}

// NewCallOffReason asks for the reason to call off.
func NewCallOffReason(a ui.FormState) ui.Field {
	return a.Bind(ui.Field{Name: "reason", ID: "call-off-reason", Label: "Reason",
		Hint: "Everyone who signed up is told it."})
}

// PostText is whether a draft can be posted.
type PostText struct {
	Can     bool
	Refused string // why it cannot be posted yet
}

// CloseText is whether a hike can be closed.
type CloseText struct {
	Can     bool
	Missing []string // names not accounted for, after a refusal
}

// HikeSignUp is one line of the sign-ups.
type HikeSignUp struct {
	Order       string // "1"
	Name        string
	State       ui.StampText
	Minor       bool
	Guardian    string
	BroughtBy   string // who imported the request
	LongestWalk string
	HotDays     string // "3 of the last 14 days active in the heat"
	Water       string // "4.0 L"
	Mobile      string
	Email       string
	Contact     HikeContact // emergency contact
	// TurnAwayURL is where turning away posts to, "" where it is not possible.
	TurnAwayURL string
	Reason      ui.Field // for turning the person away
}

// NewTurnAwayReason asks for the reason of turning somebody away.
func NewTurnAwayReason(a ui.FormState, person string) ui.Field {
	return a.Bind(ui.Field{Name: "reason", ID: "reason-" + person, Label: "Reason",
		Hint: "In neutral words: what this walk asks, and what is missing."})
}

// who is the line below the name.
func (s HikeSignUp) who(hidesGuardian bool) string {
	if s.BroughtBy == "" {
		return s.age(hidesGuardian)
	}
	return s.age(hidesGuardian) + "; brought in by " + s.BroughtBy
}

func (s HikeSignUp) age(hidesGuardian bool) string {
	switch {
	case !s.Minor:
		return "adult"
	case hidesGuardian:
		return "minor"
	case s.Guardian == "":
		return "minor, no guardian named"
	}
	return "minor, guardian " + s.Guardian
}

func (p HikePage) signUps() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Name"}, {Label: "State"}, {Label: "Water", Figure: true}}}
	if !p.HidesTold {
		l.Columns = append(l.Columns, ui.Column{Label: "Longest recent walk"})
	}
	if !p.HidesReach {
		l.Columns = append(l.Columns, ui.Column{Label: "Reach"})
	}
	for _, s := range p.SignUps {
		row := []ui.Cell{{Text: s.Order + ". " + s.Name, Note: s.who(p.HidesReach)}, {Part: signUpState(s)},
			{Text: s.Water}}
		if !p.HidesTold {
			row = append(row, ui.Cell{Text: s.LongestWalk, Note: s.HotDays})
		}
		if !p.HidesReach {
			row = append(row, ui.Cell{Part: signUpReach(s)})
		}
		l.Rows = append(l.Rows, row)
	}
	return l
}

func (p HikePage) parts() []ui.Tab {
	tabs := []ui.Tab{{Label: "Plan", URL: "#plan"}, {Label: "Decision", URL: "#decision"},
		{Label: "Heat", URL: "#heat"}, {Label: "Forecast", URL: "#forecast"}, {Label: "Staff", URL: "#staff"}}
	if p.Plan == nil {
		tabs = []ui.Tab{{Label: "Plan", URL: "#plan"}, {Label: "Forecast", URL: "#forecast"},
			{Label: "Decision", URL: "#decision"}, {Label: "Staff", URL: "#staff"}}
	}
	return append(tabs, ui.Tab{Label: "Links", URL: "#day-links"}, ui.Tab{Label: "Sign-ups", URL: "#sign-ups"})
}

// questions lists every field of the page, for the errors at its head.
func (p HikePage) questions() []ui.Field {
	fields := append(slices.Clone(p.Forecast), p.Decision.GoReason, p.Decision.CallOffReason, p.OnCallReason,
		p.DayLinks.Name, p.DayLinks.Part)
	for _, w := range p.Decision.Options {
		fields = append(fields, w.questions()...)
	}
	for _, s := range p.SignUps {
		fields = append(fields, s.Reason)
	}
	return fields
}

func (p HikePage) staffLedger() ui.LedgerText {
	l := ui.LedgerText{Cards: true,
		Columns: []ui.Column{{Label: "Name"}, {Label: "Part"}, {Label: "Answer"}, {Label: "Phone"}}}
	for _, s := range p.Staff {
		l.Rows = append(l.Rows,
			[]ui.Cell{{Text: s.Name}, {Text: s.Role}, answerCell(s.Answer), ui.LinkTo("tel:", s.Phone)})
	}
	for _, c := range []HikeStaff{{"on call, not on the hike", p.OnCall.Name, p.OnCall.Phone, p.OnCallAnswer},
		{"deputy, not on the hike", p.Deputy.Name, p.Deputy.Phone, ""}} {
		if c.Name == "" {
			c.Name = "Nobody named"
		}
		l.Rows = append(l.Rows,
			[]ui.Cell{{Text: c.Name}, {Text: c.Role}, answerCell(c.Answer), ui.LinkTo("tel:", c.Phone)})
	}
	return l
}

// answerCell stamps an answer. Somebody who is not asked for one gets a dash.
func answerCell(answer string) ui.Cell {
	if answer == "" {
		return ui.Cell{Text: "-"}
	}
	stamp := ui.StampOf(answer)
	return ui.Cell{Stamp: &stamp}
}
