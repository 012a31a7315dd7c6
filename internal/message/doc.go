// Package message composes the program's messages and delivers them through an outbox.
//
// A message is composed as plain text and queued in the transaction of the change that it
// reports. Deliver sends it later, at least once, and again after a failure. Its key becomes
// the message identifier, so that receivers can recognize a second copy.
package message
