// Package signup is about a person's request for a place on a hike: what they say about
// themselves, the talk before the place is confirmed, their emergency contact, children and
// car, and how long a place is held for them.
package signup
