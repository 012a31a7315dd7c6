// Package plan is the planning service: from a trail's profile, a party and a day's forecast it computes times, heat by
// the hour, water, food, the turnaround and a verdict. It is pure: no clock, no database, no network.
//
// Compute plans one start and says which other starts of the day pass, Year answers for every hour of a year's twelve
// middle days, and Explain says where each figure comes from. All of them read the day's heat from one table and
// judge a start by one function, so they cannot differ.
//
// A plan is a snapshot. Compute rounds every figure once, so that the page, the paper, the JSON and the stored copy
// agree to the digit.
//
// # How to add or change a formula
//
// Put it into the package of its subject (heat, sun, walk, supply), on types of package unit. The line above names
// author, year, page or equation, and range of validity; or "Our judgment:" with the reason; or "Common practice, no
// source". Then write a reference test: rows with the value as printed, its source, its mark, and a tolerance of half
// the last printed digit, or a reason.
//
//	[F]       found in the source's own text
//	[F2]      found in a transcription that cites the source
//	[C]       computed from an [F] or [F2] formula, or by a named reference program
//	[M] [M?]  from memory, sure or unsure: check it before it counts
//
// A number that our own code produced is a golden value, is called so, and never stands in a reference table. If we
// deviate from a source, write it down; do not tune the test. Change Model whenever a figure could change. The
// explanation of a figure stands beside the code that computes it.
package plan

// Model names this version of the formulas. It changes whenever a figure could, and is stored with every plan.
const Model = "saltbush-4"
