// Package signup is a person's request for a place on a hike: what they tell, the talk before
// a place is confirmed, their emergency contact, children and car, and how a place is held.
package signup
