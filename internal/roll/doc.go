// Package roll is where everyone on a hike is accounted for. It validates the events that
// people record, checks a departure against the plan and the house's rules, and keeps the
// hike's state in step with its roll. Package party folds the events into who is where.
package roll
