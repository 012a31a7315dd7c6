package hike

import "time"

// Sharing is a person's yes to telling those with whom they share a car, if these say yes
// too, their first name, their number, and where they live or can be picked up. Its zero
// value is no.
type Sharing struct {
	Town  string
	Since time.Time // of the yes; zero for no
}

// Yes reports whether the person said yes and has not taken it back.
func (s Sharing) Yes() bool { return !s.Since.IsZero() }
