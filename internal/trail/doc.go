// Package trail holds the catalogue: trails with their points and closures, scout reports,
// roads between trailheads, and the months in which a trail may be led.
package trail
