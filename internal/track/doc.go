// Package track reads and writes GPX files and turns what a device recorded into a
// Profile: cleaned distance, climb, legs with their slopes, and places on the way.
//
// Recordings are never perfect. Fixes jitter, heights jitter more, recorders pause and
// phones jump. What the cleaning did is kept with the result in Profile.Notes, and every
// setting of it stands in settings.go with its reason, because the same track can give
// half or double the climb with other filters.
package track
