// Package watch says when a party is late, how worried to be, and who does what about it.
//
// It works from a promise made before the walk and from the roll. Silence is not an alarm:
// only a clock against the promise is, or a call for help. Watch times move later only if
// staff report a delay; limits of daylight and water never move. The package is pure: the
// caller gives the time.
package watch
