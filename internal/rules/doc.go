// Package rules is the one table of the rules that an organization sets: each with its default, its unit, its
// bounds, its source, and which way is more cautious. Plans, rolls and watches read their settings from here.
//
// # How to add a setting
//
// Add a field to Rules and a row to the table in table.go, in the order of the settings page. The
// row has the key under which it is stored (never rename it), the default with its source, bounds
// that stop typing errors, and the direction of caution: one tap goes that way, and the other way
// needs a written reason. The settings page, the history and the checks follow from the row. A
// rule is a default, never law.
package rules
