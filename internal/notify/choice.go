package notify

import (
	"context"

	"saltbush/internal/message"
)

// stoppable makes m a mail of the topic, with the address where its reader stops such mail.
// It reports false where the reader has stopped it already.
func (n *Notifier) stoppable(ctx context.Context, m message.Mail, t message.Topic) (message.Mail, bool, error) {
	c, err := n.choices.Choice(ctx, m.To, t)
	if err != nil || !c.Stopped.IsZero() {
		return m, false, err
	}
	return m.Stoppable(t, n.baseURL+"/mail/"+c.Token), true, nil
}
