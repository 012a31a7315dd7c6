// Package party holds the state of one party on a hike: who is where, what a headcount
// should give, who is missing, and what went wrong in the records. The state is a pure fold
// over the events of a roll. Events are appended and never edited, because people record
// them on several phones, offline, late and twice. The same set of events gives the same
// state in any order of arrival. Events that contradict each other are all kept and
// flagged, and a person stays unaccounted for until a record says otherwise.
//
// The package imports only unit and the standard library, so that the same code runs on the
// server and, compiled to WebAssembly, on the phone (packages phone and cmd/phone; after a change
// run go generate ./assets). It holds the checks before leaving, with what they need as plain values
// (Terms), and the clock of a search. Package roll holds what needs hikes, sign-ups, plans or the
// house's rules: validation and the store. Package watch computes the clocks of the return.
//
// These are the states of a person (Whereabouts) and the events that change them:
//
//	expected ──here──────> here ──departed──> out ──back──────────────────────> back
//	    │                   │                 │ ^                                 ^
//	    ├─absent─> absent   │       left-early│ │joined                       back│
//	    │                   │                 v │                                 │
//	    └──turned-away──────┴─> turned away   left early ──at-car──> at the car ──┘
//
// A late person goes from absent to here. After the departure, joined puts anybody on the
// trail (out). Back and handed-over (with responders) apply in every state, because
// somebody saw the person. Undoing an event removes its effect. All other combinations are
// flagged; file move.go has the full rules.
//
// A case is a party under watch. Package watch derives its phase from the state here and
// from the plan's times:
//
//	not out ──> on time ──> due ──> uncertainty ──> alert ──> distress    by the clock
//	any of these ──> distress                                            help was asked for
//	any of these ──> back ──> stood down                                 all are accounted for
package party
