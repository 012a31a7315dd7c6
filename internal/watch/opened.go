package watch

import (
	"strings"
	"time"
)

// RecipientName is the name of whom a step was sent to, without the address.
func (l Logged) RecipientName() string {
	if i := strings.LastIndex(l.Recipient, ", "); i >= 0 { // a name may have a comma, an address has none
		return l.Recipient[:i]
	}
	return l.Recipient
}

// SentTo reports whether a step of the log went to somebody of this name.
func (l Logged) SentTo(name string) bool {
	return l.Kind == LogStep && name != "" && l.RecipientName() == name
}

// Opened returns when whoever a step was sent to first opened the watch after it, zero for not yet. Our
// judgment: opening the page is the most that can be known of reading; only an answer shows more.
func (c Case) Opened(step Logged) time.Time {
	for _, l := range c.Log {
		if l.Kind == LogOpened && !l.At.Before(step.At) && step.SentTo(l.By) {
			return l.At
		}
	}
	return time.Time{}
}

// Unopened reports whether a step went to somebody of this name who has not opened the watch since.
func (c Case) Unopened(name string) bool {
	for i := len(c.Log) - 1; i >= 0; i-- {
		switch l := c.Log[i]; {
		case l.Kind == LogOpened && l.By == name:
			return false
		case l.SentTo(name):
			return true
		}
	}
	return false
}
