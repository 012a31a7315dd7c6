// Package watch says when a party is late, how worried to be, and who does what then.
//
// It works from a promise made before the walk and from the roll. Silence is not an alarm:
// only a clock against the promise is, or a call for help. A watch moves later when staff
// report a delay and never by itself; daylight and water never move. Everything here is
// pure, and the caller gives the time.
package watch
