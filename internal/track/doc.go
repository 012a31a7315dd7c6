// Package track reads and writes GPX files and turns recordings into a Profile: cleaned distance, climb, legs with
// their slopes, and places on the way.
//
// Recordings are never perfect. Positions jitter, heights jitter more, recorders pause and phones jump. Profile.Notes
// says what the cleaning did, and clean.go gives a reason for each of its settings, because other filters can halve
// or double the climb of the same track.
package track
