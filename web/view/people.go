package view

// PeoplePage is the accounts of the organisation.
type PeoplePage struct {
	Page
	People     []PersonLine
	Invitation Invitation // of the person just added; the zero value shows none
	Fields     PersonFields
}

// PersonLine is one account.
type PersonLine struct {
	Name, Email, Phone string
	Roles              string // "leader, coordinator"; "" where there are none
	State              string // "active", "invited" or "not active"
	Second             string // whether there is a second step: "yes", "no"
	URL                string // of the person's own page
}

// Invitation is the link by which a new person chooses a password. It is shown once.
type Invitation struct {
	For, Link string
	Until     string // "Sun 17 May, 12:00"
	Password  bool   // it replaces a password that is forgotten
}

// AccountStamp is the stamp of an account's state: "active", "invited", "not active".
func AccountStamp(state string) StampText {
	switch state {
	case "active":
		return StampText{Word: state, Look: LookLeaf, Mark: MarkTick}
	case "invited":
		return StampText{Word: state, Look: LookOchre, Mark: MarkGlass}
	case "not active":
		return StampText{Word: state, Look: LookRock, Mark: MarkMinus}
	}
	return StampOf(state)
}

// PersonFields are the questions about a new person.
type PersonFields struct{ Name, Email, Phone, Roles Field }

// NewPersonFields asks about a person.
func NewPersonFields(a Answers) PersonFields {
	return PersonFields{
		Name:  a.Asked(Field{Name: "name", Label: "Name", Autocomplete: "off"}),
		Email: a.Asked(Field{Name: "email", Label: "E-mail", Kind: "email", Autocomplete: "off", Hint: "They sign in with it."}),
		Phone: a.Asked(Field{Name: "phone", Label: "Phone", Kind: "tel", Optional: true, Autocomplete: "off", Hint: "How staff and on-call reach them."}),
		Roles: a.Asked(Field{Name: "roles", Label: "What they may do", Optional: true, Options: []Option{
			{Value: "leader", Label: "Leader", Note: "Adds trails, schedules hikes, manages the hikes they staff."},
			{Value: "coordinator", Label: "Coordinator", Note: "All of that on every hike, and the people."},
			{Value: "trainer", Label: "Trainer", Note: "Sees the records of staff and notes observed hikes. Sees no participants."},
			{Value: "safety officer", Label: "Safety officer", Note: "Reads the board, the watches and the papers of every hike, and changes none of them."},
			{Value: "on-call", Label: "On-call", Note: "Holds the watch from home: the board, and each hike from the evening before it until it is closed."},
		}}),
	}
}

// All lists the questions for the head of the form.
func (f PersonFields) All() []Field { return []Field{f.Name, f.Email, f.Phone, f.Roles} }

func (i Invitation) title() string {
	if i.Password {
		return "Link for a new password of " + i.For
	}
	return "Invitation for " + i.For
}

func (p PeoplePage) ledger() LedgerText {
	l := LedgerText{Cards: true, Columns: []Column{{Label: "Name"}, {Label: "State"}, {Label: "Roles"}, {Label: "Second step"}, {Label: "E-mail"}, {Label: "Phone"}}}
	for _, x := range p.People {
		stamp := AccountStamp(x.State)
		l.Rows = append(l.Rows, []Cell{{Text: x.Name, URL: x.URL}, {Stamp: &stamp}, {Text: orDash(x.Roles)}, {Text: x.Second}, linkTo("mailto:", x.Email), linkTo("tel:", x.Phone)})
	}
	return l
}

// linkTo is a cell that writes or rings; an empty one says that it is not known.
func linkTo(scheme, address string) Cell {
	if address == "" {
		return Cell{}
	}
	return Cell{Part: reachLink(scheme, address)}
}
