// Package trail is about trails: their points and closures, scout reports, the roads between
// trailheads, and the months in which a trail may be led.
package trail
