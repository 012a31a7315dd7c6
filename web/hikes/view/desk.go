package view

import "saltbush/web/ui"

// DeskPage is a leader's home: what to do, and the hikes around today.
type DeskPage struct {
	ui.Page
	Staff  []ui.NoteText // certificates that end, open requests, gaps
	ToDo   []DeskLine    // the most urgent first
	Out    []DeskLine
	Coming []DeskLine // hikes that the viewer staffs
	Past   []DeskLine
	Second ui.NoteText  // asks for a second step of signing in; zero where it need not
	Wake   *ui.WakeText // nil where alarms cannot be pushed
}

// DeskLine is one hike in a list of the desk.
type DeskLine struct {
	Day, Clock string // "Sun 10 May", "06:00": the meeting time at the trailhead
	Title, URL string
	Trail      string
	Staff      string // "Ines Calder leads, Tomas Verde sweeps"; "" says that nobody is named
	Places     string // "12 of 14 places taken, 3 waiting"
	State      ui.StampText
	Verdict    ui.StampText // of VerdictStamp; zero shows none
	Task       DeskTask     // zero where there is nothing to do
	Warning    string       // who lets it go without anybody on call who can be reached; "" for none
	// Action is the label of the button, such as "Take the roll"; "" shows none.
	Action, ActionURL string
}

// DeskTask is the next thing to do for a hike.
type DeskTask struct {
	Text string // "Decide whether it goes"
	When string // "by Sat 9 May, 12:30: in 3 h 10", "by Sat 9 May, 12:30: passed 2 h ago"
	Late bool
}

// VerdictStamp is the stamp of a plan's verdict: "go", "change" or "cancel". Any other verdict
// means that there is no plan.
func VerdictStamp(verdict string) ui.StampText {
	switch verdict {
	case "go":
		return ui.StampText{Word: "plan says go", Look: ui.LookLeaf, Mark: ui.MarkTick}
	case "change":
		return ui.StampText{Word: "plan says change", Look: ui.LookOchre, Mark: ui.MarkHill}
	case "cancel":
		return ui.StampText{Word: "plan says cancel", Look: ui.LookClay, Mark: ui.MarkHillFull}
	}
	return ui.StampText{Word: "no plan", Look: ui.LookPencil, Mark: ui.MarkQuestion}
}

func (w DeskTask) mark() ui.Mark {
	if w.Late {
		return ui.MarkBang
	}
	return ui.MarkHill
}
