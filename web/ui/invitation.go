package ui

// Invitation is the link by which a new person chooses a password. It is shown once.
type Invitation struct {
	For, Link string
	Until     string // "Sun 17 May, 12:00"
	Password  bool   // it replaces a forgotten password
}

// Title is the heading of the invitation.
func (i Invitation) Title() string {
	if i.Password {
		return "Link for a new password of " + i.For
	}
	return "Invitation for " + i.For
}
