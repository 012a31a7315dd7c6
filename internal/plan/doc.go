// Package plan is the planning service: from a trail's profile, a party and a day's
// forecast it answers with times, heat by the hour, water, food, the turnaround and a
// verdict. It is pure: no clock, no database, no network.
//
// Compute answers one start, Window every start of the day, and Explain says of each figure
// where it comes from. The first two read the day's heat from one table and judge a start by
// one function, so they cannot differ.
//
// The answer is a snapshot. Compute rounds every figure once, so that the page, the
// paper, the JSON and the stored copy agree to the digit.
package plan

// Model names this version of the formulas. It changes whenever a figure could, and is
// stored with every plan.
const Model = "saltbush-4"
