package view

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
)

// RollForm is one record that can be made, with its questions. It is folded up unless Open.
type RollForm struct {
	Key    string // names the form for the script
	Title  string
	Text   string
	Event  RollEvent
	Asks   []RollAsk
	Button ui.ButtonText
	Open   bool
	Hidden bool // the script shows it when its time comes
}

// RollAsk is one question: a Field and how it is asked, or people to tick.
type RollAsk struct {
	ui.Field
	As     string // "text", "number", "select", "choice", "check", "ticks", "people", "place", "hidden" or "party"
	People []RollTick
	// Places are the whereabouts in which a person is offered, for the script.
	Places string
}

// RollTick is one person of a list of boxes.
type RollTick struct {
	ID, Name, Note  string
	Hidden, Checked bool
	Party           string
}

// RollCheck is one line of what is looked at before leaving.
type RollCheck struct {
	Stamp ui.StampText
	Title string
	Words string
}

// RollGate is all that is looked at before leaving, as the server saw it last.
type RollGate struct {
	AsOf   string
	Checks []RollCheck
	// Water says who can go on which route.
	Water []string
}

// RollSearch is the looking for somebody who is missed. It is in every page, hidden, so
// that a phone without signal can begin it.
type RollSearch struct {
	Hidden    bool
	Began     string // machine time, for the running clock
	Running   bool
	Who       string
	Since     string // "missed since 09:40, 23 min"
	Call      ui.NoteText
	Facts     []format.Line
	Steps     []RollStep
	Emergency string
	HandOver  string
	Next      RollForm // whom to tell next, once they are found
}

// RollStep is one step of a search.
type RollStep struct {
	Number, Text, Done string
	Event              RollEvent
	FailEvent          RollEvent // no address: it cannot come back without them
}

// RollCare is what to do for somebody who is not well.
type RollCare struct {
	Note ui.NoteText
	Call string // the number to ring, "" for none
}

// RollCareCard is the card for one sign, for a phone without signal.
type RollCareCard struct {
	Sign string
	Note ui.NoteText
}
