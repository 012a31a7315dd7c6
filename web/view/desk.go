package view

// DeskPage is a leader's home: what wants doing, and the hikes around today.
type DeskPage struct {
	Page
	Staff  []NoteText // papers that end, askings without an answer, gaps
	Wants  []DeskLine // in the order in which they want doing
	Out    []DeskLine
	Coming []DeskLine // hikes that the viewer staffs
	Past   []DeskLine
	Second NoteText  // that the house asks for a second step; its zero value says nothing
	Wake   *WakeText // nil where no browser can be woken
}

// DeskLine is one hike in a list of the desk.
type DeskLine struct {
	Day, Clock string // "Sun 10 May", "06:00": the meeting time at the trailhead
	Title, URL string
	Trail      string
	Staff      string // "Ines Calder leads, Tomas Verde sweeps"; "" says that nobody is named
	Places     string // "12 of 14 places taken, 3 waiting"
	State      StampText
	Verdict    StampText // of VerdictStamp; its zero value leaves it out
	Want       DeskWant  // the zero value wants nothing
	// Action is what one comes for, such as "Take the roll"; "" shows no button.
	Action, ActionURL string
}

// DeskWant is what a hike waits for.
type DeskWant struct {
	Text string // "Decide whether it goes"
	When string // "by Sat 9 May, 12:30: in 3 h 10", "by Sat 9 May, 12:30: passed 2 h ago"
	Late bool
}

// VerdictStamp is the stamp of a plan's verdict: "go", "change" or "cancel". Without a
// plan it says so, in pencil.
func VerdictStamp(verdict string) StampText {
	switch verdict {
	case "go":
		return StampText{Word: "plan says go", Look: LookLeaf, Mark: MarkTick}
	case "change":
		return StampText{Word: "plan says change", Look: LookOchre, Mark: MarkHill}
	case "cancel":
		return StampText{Word: "plan says cancel", Look: LookClay, Mark: MarkHillFull}
	}
	return StampText{Word: "no plan", Look: LookPencil, Mark: MarkQuestion}
}

func (w DeskWant) mark() Mark {
	if w.Late {
		return MarkBang
	}
	return MarkHill
}
