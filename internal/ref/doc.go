// Package ref defines a type of id for each kind of record, so that the id of a hike is never
// taken for that of a trail.
package ref
