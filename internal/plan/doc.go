// Package plan is the planning service: from a trail's profile, a party and a day's forecast it computes times, heat by
// the hour, water, food, the turnaround and a verdict. It is pure: no clock, no database, no network.
//
// Compute plans one start and says which other starts of the day pass, Year answers for every hour of a year's twelve
// middle days, and Explain says where each figure comes from. All of them read the day's heat from one table and
// judge a start by one function, so they cannot differ.
//
// A plan is a snapshot. Compute rounds every figure once, so that the page, the paper, the JSON and the stored copy
// agree to the digit.
package plan

// Model names this version of the formulas. It changes whenever a figure could, and is stored with every plan.
const Model = "saltbush-4"
