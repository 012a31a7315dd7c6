// Package sample is the demo scenario: an invented reserve in hot, dry country, its
// trails, people and a season of hikes laid out around a moment. Nothing and nobody in it
// is real.
//
// The land is a height function, the trails are walked over it by rule, and the season is
// drawn from a seeded die, so that the same moment always gives the same scenario, ids and
// private links apart.
package sample
