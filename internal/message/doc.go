// Package message writes the program's mail and gets it out by way of an outbox.
//
// A mail is composed as plain text, queued together with the change that it tells of,
// and delivered later by Deliver: at least once, again after a failure, and under a key
// from which its message identifier is made, so that a second copy is recognised.
package message
