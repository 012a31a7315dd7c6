// Package rules is the one table of the rules that an organization sets: each with its default, its unit, its
// bounds, its source, and which way is more cautious. Plans, rolls and watches read their settings from here.
package rules
