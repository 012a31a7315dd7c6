// Package sample is the demo scenario: an invented reserve in hot, dry country, its trails,
// its people and a season of hikes around a given time. Nothing in it is real.
//
// The land is a height function, rules lay the trails over it, and a seeded random generator
// draws the season. The same time always gives the same scenario, except for ids and private
// links.
package sample
