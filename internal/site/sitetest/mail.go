package sitetest

import (
	"context"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
)

// Patience is how long helpers wait for what a site does by itself.
const Patience = 20 * time.Second

// Mails are all messages of the outbox, the newest first.
func (s *Site) Mails(t testing.TB) []message.Mail {
	t.Helper()
	list, err := s.DB.Outbox().Recent(context.Background(), 1000)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// AwaitMail waits for a message whose key begins so and whose text says so, whatever its
// line breaks. The newest such is returned.
func (s *Site) AwaitMail(t testing.TB, key, says string) message.Mail {
	t.Helper()
	for end := time.Now().Add(Patience); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		for _, m := range s.Mails(t) {
			text := strings.Join(strings.Fields(m.Text), " ")
			if strings.HasPrefix(m.Key, key) && strings.Contains(text, says) {
				return m
			}
		}
	}
	t.Fatalf("no message %s says %q", key, says)
	return message.Mail{}
}
