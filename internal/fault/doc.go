// Package fault defines the errors that are shown to people: something that does not exist,
// a request that the rules refuse, and the faults of a form.
package fault
