package view

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
)

// WatchPage is the watch of one hike, for on-call.
type WatchPage struct {
	ui.Page
	Over  string // "Quail Wash to the saddle, Sunday 10 May 2026"
	Name  string // of the hike
	Phase ui.StampText
	Says  string // what the phase means
	// MedicalCards links to the cards of those who are out, if the viewer may open them now.
	MedicalCards []ui.NavLink
	Asleep       string // that the watcher does not run, "" while it does
	// Answer is the button to take the alarm; Answered says who has taken it.
	Answer   ui.ButtonText
	Answered string
	// Warnings are what the records leave open.
	Warnings []string
	// PassURL passes the alarm on, for whoever has it; Pass are whom to.
	PassURL string
	Pass    []ui.ButtonText
	// Ring calls the emergency number, once it should be called.
	Ring ui.ButtonText
	// BackURL records who is back by a phone call, name by name; "" if that is not possible.
	BackURL          string
	BackWho, BackSay ui.Field
	// Do is what to do now.
	Do    ui.NoteText
	Steps []Step
	Times []format.Line
	Why   []string
	// Who lists the people not accounted for; WhoNote says how many of how many.
	Who     ui.LedgerText
	WhoNote string
	Nobody  ui.EmptyText
	Calls   []format.Line
	Log     ui.LedgerText
	NoLog   ui.EmptyText
	NoteURL string
	Live    LiveText
	Note    ui.Field
	Quick   []ui.ButtonText // ready notes, each a button
	Links   []ui.ButtonText
}

// NewWatchNote asks for a line of the log.
func NewWatchNote(a ui.FormState) ui.Field {
	return a.Bind(ui.Field{Name: "note", Label: "What did you do, see or hear?",
		Hint: "Who you called and what they said. The time and your name are added."})
}

// NewBackByPhone asks who is back by a phone call, and who said so.
func NewBackByPhone(people []ui.Option, a ui.FormState) (who, say ui.Field) {
	return a.Bind(ui.Field{Name: "person", Label: "Tick each name as it is read out to you",
			Hint: "Nobody counts as back because of the others.", Options: people}),
		a.Bind(ui.Field{Name: "heard", Label: "Who told you, and from where", Hint: "As: the leader, from the lot."})
}

// CalledForHelp is the note that somebody called the emergency number.
const CalledForHelp = "I called the emergency number"

// QuickNotes are what on-call writes most often.
func QuickNotes() []string {
	return []string{"Called the leader, no answer", "Called the sweep, no answer", "Left messages for both",
		"Asked somebody nearby to check the lot", "Cars are still there", CalledForHelp}
}

// HandOverPage is the sheet to read to search and rescue.
type HandOverPage struct {
	ui.Page
	Over    string
	Name    string
	Made    string // when, and by whom
	Ring    ui.ButtonText
	Opening string // the first sentence to say
	Closed  string // why descriptions of people are not shown, "" if they are
	Items   []HandOverItem
	BackURL string
	AddURL  string // where the leader adds to it; "" where the viewer may not
}

// HandOverItem is one numbered question with what is known.
type HandOverItem struct {
	Heading string
	Lines   []HandOverLine
	Ask     string // what to ask, with room to write; "" if enough is known
}

// HandOverLine is one answer.
type HandOverLine struct {
	Label, Text, When string
	URL               string // calls the number that the text ends with; "" for none
}
