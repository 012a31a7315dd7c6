package team

// Contact is somebody to ring, and to write to where an address is known.
type Contact struct {
	Name  string
	Phone string
	Email string
}
