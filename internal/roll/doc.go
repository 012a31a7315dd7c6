// Package roll is where everyone on a hike is accounted for. It validates the events that
// people record, checks a departure against the plan and the house's rules, and keeps the
// hike's state in step with its roll. Package party folds the events into who is where.
//
// # How to add an event or change a rule
//
// The event's kind and its effect on the state are in package party, its validation is here, and the
// phone folds with package party itself: after a change there, run go generate ./assets. What the
// phone's page needs to know of the new event is in package phone.
//
//	go test ./internal/roll -run TestModel
//
// plays seeded mornings of phones without signal against a server that is killed, and compares them with a simple
// reckoning. A new kind of event joins it in model_tap_test.go. A failing seed is printed and replays with
// SALTBUSH_MODEL_SEED=n. SALTBUSH_LONG=1 plays ten thousand mornings, SALTBUSH_MODEL_RUNS=n another number. After a
// change of a margin of the watch,
//
//	go test ./internal/watch -run Season -v
//
// prints what each margin costs over a simulated season.
package roll
