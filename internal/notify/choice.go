package notify

import (
	"context"

	"saltbush/internal/message"
)

// stopAddress is where the reader of a mail stops such mails.
func (s *Notifier) stopAddress(c message.Choice) string { return s.BaseURL + "/mail/" + c.Token }

// stoppable makes m a mail of the topic; false where its reader wants no more of them.
func (s *Notifier) stoppable(ctx context.Context, m message.Mail, t message.Topic) (message.Mail, bool, error) {
	c, err := s.Choices.Choice(ctx, m.To, t)
	if err != nil || !c.Stopped.IsZero() {
		return m, false, err
	}
	return m.Stoppable(t, s.stopAddress(c)), true, nil
}
