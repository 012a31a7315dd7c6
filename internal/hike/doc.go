// Package hike is the domain: trails, hikes, their staff and sign-ups, and the rules
// that hold between them. It knows no transport and no SQL; Store says what it needs
// from a database, and time is always an argument.
package hike
