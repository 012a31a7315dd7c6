// Package roll holds the events by which everyone on a hike is accounted for, and folds
// them into who is where.
//
// Events are appended and never edited: two people may record apart, offline, late and
// twice. Fold is pure, so the same set of events gives the same state in any order of
// arrival. It never lets the last record win in silence: what disagrees is kept and
// flagged, and in doubt a person stays unaccounted for.
package roll
