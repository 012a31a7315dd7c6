package team

// Contact is somebody to phone, and to write to if there is an address. It is typed by hand and
// names no account: on-call may be anybody.
type Contact struct {
	Name  string
	Phone string
	Email string
}
