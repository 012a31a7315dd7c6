package postgres_test

import (
	"context"
	"testing"
	"time"

	"saltbush/internal/message"
)

// Mail that waits when its reader stops the topic is not sent any more; mail of no topic is.
func TestStoppingReachesMailThatWaits(t *testing.T) {
	t.Parallel()
	ctx, now := context.Background(), time.Now()
	db, _ := open(t)
	choice, err := db.Choice(ctx, "wren@example.org", message.Papers)
	if err != nil {
		t.Fatal(err)
	}
	queue := func(list ...message.Mail) {
		t.Helper()
		if err := db.Outbox().Queue(ctx, now, list...); err != nil {
			t.Fatal(err)
		}
	}
	mail := func(to, key string) message.Mail {
		return message.Mail{
			To: to, Subject: "A certificate ends", Text: "It ends.", Key: key, NextTry: now.Add(time.Hour),
		}
	}
	stoppable := func(key string) message.Mail {
		return mail("Wren@example.org", key).Stoppable(message.Papers, "https://hikes.example.org/mail/"+choice.Token)
	}
	queue(stoppable("paper/1"), mail("wren@example.org", "decided/1"))
	if err := db.Stop(ctx, choice.Token, now); err != nil {
		t.Fatal(err)
	}
	queue(stoppable("paper/2"))
	mails, err := db.Outbox().Recent(ctx, 10)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]message.State{}
	for _, m := range mails {
		got[m.Key] = m.State
	}
	if len(got) != 2 || got["paper/1"] != message.Failed || got["decided/1"] != message.Queued {
		t.Errorf("the outbox holds %v, want paper/1 failed and decided/1 queued", got)
	}
}
