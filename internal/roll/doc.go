// Package roll is where everyone on a hike is accounted for. It validates the events that
// people record, checks a departure against the plan and the house's rules, and keeps the
// hike's state in step with its roll. Package party folds the events into who is where.
//
// Events are appended and not edited: two people may record apart, offline, late and twice. Only
// retention takes words out of old events, and the roll then folds to the same counts. Fold is
// pure, so the same set of events gives the same state in any order of arrival. The last record
// never wins silently: what disagrees is kept and flagged, and in doubt a person is missing.
//
// # How to change a rule of the roll
//
//	go test ./internal/roll -run TestModel
//
// plays seeded mornings of phones without signal against a server that is killed, and compares
// them with a simple reckoning. A new kind of event joins it in model_tap_test.go, and in the
// phone's copy of the fold, assets/roll-fold.js. A failing seed is printed and replays with
// SALTBUSH_MODEL_SEED=n. SALTBUSH_LONG=1 plays ten thousand mornings, SALTBUSH_MODEL_RUNS=n
// another number. After a change of a margin of the watch,
//
//	go test ./internal/watch -run Season -v
//
// prints what each margin costs over a simulated season.
package roll
