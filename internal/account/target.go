package account

import (
	"fmt"
	"strconv"
	"strings"

	"saltbush/internal/ref"
)

// Purpose says what a link opens.
type Purpose string

// The purposes of links. Their text is stored.
const (
	FirstCoordinator Purpose = "first coordinator" // creates the first account
	Invitation       Purpose = "invitation"        // sets the first password of an account
	NewPassword      Purpose = "new password"      // replaces a forgotten password
	Place            Purpose = "place"             // a participant's own sign-up
	Contact          Purpose = "contact"           // an emergency contact confirms that they can be reached
	Day              Purpose = "day"               // the roll of one hike on its day
	DayWatch         Purpose = "day watch"         // the watch of one hike on its day, for on-call
	Watch            Purpose = "watch"             // the watch of one hike, from an alarm
	Asked            Purpose = "asked"             // a request to staff one hike
)

// SingleUse reports whether a link of this purpose closes when it is used.
func (p Purpose) SingleUse() bool {
	return p == FirstCoordinator || p == Invitation || p == NewPassword
}

// Target is what a link opens: a purpose, and the record it is about. Each purpose has a
// function that makes its targets; fields of other purposes stay zero. Two targets are the
// same if they are ==.
type Target struct {
	Purpose Purpose
	Account ID       // Invitation, NewPassword; for Watch the recipient, zero if they have no account
	SignUp  string   // Place, Contact
	Hike    ref.Hike // Day, DayWatch, Watch, Asked
	Person  string   // Asked: the id of the person on the roll, or hike.OnCall
	Name    string   // Watch: the recipient's name, which signs the log of the watch
}

// FirstCoordinatorTarget is the creation of the first account.
func FirstCoordinatorTarget() Target { return Target{Purpose: FirstCoordinator} }

// InvitationTarget is the first password of the account.
func InvitationTarget(of ID) Target { return Target{Purpose: Invitation, Account: of} }

// NewPasswordTarget is a new password for the account.
func NewPasswordTarget(of ID) Target { return Target{Purpose: NewPassword, Account: of} }

// PlaceTarget is the participant's own sign-up.
func PlaceTarget(signUp string) Target { return Target{Purpose: Place, SignUp: signUp} }

// ContactTarget is the question to the emergency contact of the sign-up.
func ContactTarget(signUp string) Target { return Target{Purpose: Contact, SignUp: signUp} }

// DayTarget is the roll of the hike.
func DayTarget(hike ref.Hike) Target { return Target{Purpose: Day, Hike: hike} }

// DayWatchTarget is the watch of the hike, for on-call on its day.
func DayWatchTarget(hike ref.Hike) Target { return Target{Purpose: DayWatch, Hike: hike} }

// WatchTarget is the watch of the hike, opened from an alarm sent to the named person. The
// account is zero if they have none.
func WatchTarget(hike ref.Hike, of ID, name string) Target {
	return Target{Purpose: Watch, Hike: hike, Account: of, Name: name}
}

// AskedTarget is a request to staff the hike. The person is an id on the roll, or hike.OnCall.
func AskedTarget(hike ref.Hike, person string) Target {
	return Target{Purpose: Asked, Hike: hike, Person: person}
}

// Subject returns the target without its purpose, as it is stored: the id of the account,
// the sign-up or the hike. After the hike Asked has the person, and Watch "#", the account
// and the name:
//
//	12
//	12 on-call
//	12 #7 Ann Bee
func (t Target) Subject() string {
	switch t.Purpose {
	case Invitation, NewPassword:
		return t.Account.String()
	case Place, Contact:
		return t.SignUp
	case Day, DayWatch:
		return t.Hike.String()
	case Watch:
		return fmt.Sprintf("%d #%d %s", t.Hike, t.Account, t.Name)
	case Asked:
		return t.Hike.String() + " " + t.Person
	}
	return ""
}

// ParseTarget reads a purpose and a subject as they were stored. A subject that does not
// fit its purpose is ErrLinkUnknown.
func ParseTarget(p Purpose, subject string) (Target, error) {
	t := Target{Purpose: p}
	ok := false
	switch p {
	case FirstCoordinator:
		ok = subject == ""
	case Invitation, NewPassword:
		ok = parseID(subject, &t.Account)
	case Place, Contact:
		t.SignUp, ok = subject, subject != ""
	case Day, DayWatch:
		ok = parseID(subject, &t.Hike)
	case Watch:
		ok = t.parseWatch(subject)
	case Asked:
		var hike string
		hike, t.Person, _ = strings.Cut(subject, " ")
		ok = parseID(hike, &t.Hike) && t.Person != ""
	}
	if !ok {
		return Target{}, fmt.Errorf("subject %q of a link for %q: %w", subject, p, ErrLinkUnknown)
	}
	return t, nil
}

// parseWatch also reads subjects written before they had an account, such as "12 Ann Bee".
func (t *Target) parseWatch(subject string) bool {
	hike, recipient, _ := strings.Cut(subject, " ")
	t.Name = recipient
	if tagged, ok := strings.CutPrefix(recipient, "#"); ok {
		of, name, _ := strings.Cut(tagged, " ")
		if n, err := strconv.ParseInt(of, 10, 64); err == nil && n >= 0 {
			t.Account, t.Name = ID(n), name
		}
	}
	return parseID(hike, &t.Hike)
}

// parseID reads a positive number.
func parseID[T ~int64](s string, id *T) bool {
	n, err := strconv.ParseInt(s, 10, 64)
	*id = T(n)
	return err == nil && n > 0
}
