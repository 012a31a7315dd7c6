package format

import "time"

// Line is one fact of a list: a label and its value, and a note on it.
type Line struct {
	Label, Value, Note string
	URL                string // where the value links to; empty if it is no link
	// Fact names the fact of the case that the value is, such as FactWatch; empty for others.
	Fact string
}

// The facts of a case that pages and papers mark, so that a test can hold all of them to the case.
const (
	FactStart    = "start"
	FactExpected = "expected"
	FactLatest   = "latest"
	FactWatch    = "watch"
	FactCall     = "call"
	FactTurn     = "turn"
	FactOff      = "off"
	FactOut      = "out"
	FactPhase    = "phase"
)

// FactLine is a time of the case with its label.
func FactLine(label, fact string, at time.Time, zone *time.Location) Line {
	l := Line{Label: label, Fact: fact}
	if !at.IsZero() {
		l.Value = Clock(at, zone)
	}
	return l
}

// With returns the line with a note.
func (l Line) With(note string) Line {
	l.Note = note
	return l
}
