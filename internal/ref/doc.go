// Package ref names stored things: a typed number for each kind, so that the number of a
// hike is never taken for that of a trail.
package ref
