package main

import (
	"context"

	"saltbush/internal/message"
)

// unsent is the sender of a site without a mail server: everything stays in the outbox.
type unsent struct{}

// Send always fails, so that the mail waits and says why.
func (unsent) Send(context.Context, message.Mail) error { return errNoMailServer }
