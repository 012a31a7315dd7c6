package view

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
)

// RollForm is the form for one kind of event. It is collapsed unless Open.
type RollForm struct {
	Key    string // the script's name for the form
	Title  string
	Text   string
	Event  RollEvent
	Asks   []RollAsk
	Button ui.ButtonText
	Open   bool
	Hidden bool // until the script shows it
}

// RollAsk is one question: a field and how it is asked, or people to check.
type RollAsk struct {
	ui.Field
	// As is "text", "number", "select", "choice", "check", "ticks", "people", "place", "hidden"
	// or "party".
	As     string
	People []RollTick
	// Places are the whereabouts in which a person is offered, joined by "|", for the script.
	Places string
}

// RollTick is one box of a list, mostly a person.
type RollTick struct {
	ID, Name, Note  string
	Hidden, Checked bool
	Party           string
}

// RollCheck is one check before leaving.
type RollCheck struct {
	Stamp ui.StampText
	Title string
	Words string
}

// RollGate is all checks before leaving, as the server last knew them.
type RollGate struct {
	Hidden bool // they have left
	AsOf   string
	Checks []RollCheck
	// Water says who can go on which route.
	Water []string
}

// RollSearch is a search for missing people. It is in every page, hidden, so that a phone
// without signal can begin one.
type RollSearch struct {
	Hidden    bool
	Began     string // RFC 3339, for the running clock
	Running   bool
	Who       string
	Since     string // "missed since 09:40, 23 min"
	Call      ui.NoteText
	Facts     []format.Line
	Steps     []RollStep
	Emergency string
	HandOver  string
	Next      RollForm // who to tell next, once they are found
}

// RollStep is one step of a search.
type RollStep struct {
	Number, Text, Done string
	Event              RollEvent
	FailEvent          RollEvent // without an address if the step cannot fail
}

// RollCare is what to do for somebody who is unwell.
type RollCare struct {
	Note ui.NoteText
	Call string // the number to call, "" for none
}

// RollSheet is the frame of the hand-over by the phone: what does not change on the trail.
type RollSheet struct{ Lines []format.Line }

// RollWarning is something that people have to settle, with the records that say it if undoing one of
// them does.
type RollWarning struct {
	Note   ui.NoteText
	Claims []RollClaim
}

// RollClaim is one record: what it says, when and by whom, and its ID.
type RollClaim struct{ URL, Text, Event string }
