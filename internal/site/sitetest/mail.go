package sitetest

import (
	"context"
	"regexp"
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

// AlarmLink waits for the newest alarm of the watch to an address, and returns the path of
// the private link in it.
func (l *Lookout) AlarmLink(t testing.TB, to string) string {
	t.Helper()
	for end := time.Now().Add(Patience); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		mails, err := l.DB.Outbox().Recent(context.Background(), 1000)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range mails {
			if m.To == to && m.Channel == message.ByAlarm && strings.Contains(m.Key, "/watch/") {
				return regexp.MustCompile(`/watch/[a-z2-7]+`).FindString(m.Text)
			}
		}
	}
	t.Fatalf("no alarm went to %s", to)
	return ""
}

// LinkIn is the first private link of that kind in a mail, as "/asked/" and its secret.
func LinkIn(t testing.TB, m message.Mail, kind string) string {
	t.Helper()
	link := regexp.MustCompile("/" + kind + "/[a-z2-7]{32}").FindString(m.Text)
	if link == "" {
		t.Fatalf("mail %s has no link to /%s/:\n%s", m.Key, kind, m.Text)
	}
	return link
}
