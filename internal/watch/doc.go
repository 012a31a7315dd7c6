// Package watch says when a party is late, how worried to be, and who does what about it.
//
// It works from a promise made before the walk and from the roll. Silence is not an alarm:
// only a clock against the promise is, or a call for help. Watch times move later only if
// staff report a delay; limits of daylight and water never move. The package is pure: the
// caller gives the time.
//
// A Case is everything known of one hike at one instant. Its Clocks are the only times of return,
// turnaround and call that pages, papers, mails and files show. Beside the party's own clock run
// Alarms: a search for somebody who is missing, and people who left early and are not at their car.
// Each has a ladder of its own and moves no other clock. What follows from who was told and who has
// answered is in follow.go: the call for help again and again until somebody takes it, the question
// to whoever has it, and the all-clear.
//
// # How to show a fact of a case
//
// Take it from Case or from hike.Data.Clocks, and mark it with format.FactLine or data-fact.
// TestEverySurfaceAgreesWithTheCase in package web then holds it to the case. A mail or a sentence has
// no marks: add its words to sayings in web/agree_fact_test.go.
package watch
