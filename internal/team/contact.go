package team

import "saltbush/internal/text"

// Contact is somebody to phone, and to write to if there is an address. It is typed by hand and
// names no account: on-call may be anybody.
type Contact struct {
	Name  string
	Phone string
	Email string
}

// enoughDigits is the shortest whole phone number: ten digits in North America (NANP). House judgment
// elsewhere.
const enoughDigits = 10

// Reachable reports whether an alarm can reach the contact: by mail, or by a whole phone number of
// somebody who has said yes.
func (c Contact) Reachable(agreed bool) bool {
	return c.Email != "" || agreed && len(text.Digits(c.Phone)) >= enoughDigits
}
