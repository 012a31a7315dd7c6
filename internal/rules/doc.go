// Package rules is the one table of the rules that an organization sets: each with its
// default, its unit, its source, and which way is more cautious.
package rules
