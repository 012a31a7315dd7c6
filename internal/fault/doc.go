// Package fault holds the kinds of errors that a person may be told: something that does
// not exist, a request that the rules refuse, and what is wrong with a form.
package fault
