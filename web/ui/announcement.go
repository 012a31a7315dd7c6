package ui

// AnnouncementText says how many have read a decision, for the hike's staff.
type AnnouncementText struct {
	Words, When, Read string
	Calls             []AnnouncementCall
	Trailhead         string // why somebody stands there, "" where nobody needs to
	Stands            Field  // asks for that person's name
	StandsURL         string // "" where it cannot be said here
}

// AnnouncementCall is somebody to telephone. Part is their role on the staff, "" for a person with
// a place.
type AnnouncementCall struct{ Name, Part, Phone, Reminder string }

// CallLedger lists the people to telephone.
func (t AnnouncementText) CallLedger() LedgerText {
	l := LedgerText{Caption: "To call: they have not said that they read it",
		Cards: true, Columns: []Column{{Label: "Name"}, {Label: "Phone"}, {Label: "Mail"}}}
	for _, c := range t.Calls {
		l.Rows = append(l.Rows, []Cell{{Text: c.Name, Note: c.Part}, LinkTo("tel:", c.Phone), {Text: c.Reminder}})
	}
	return l
}
