package message_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"saltbush/internal/message"
)

// sends is a Sender that calls a function.
type sends func(context.Context, message.Mail) error

func (f sends) Send(ctx context.Context, m message.Mail) error { return f(ctx, m) }

// clock is a clock that stands still until it is moved.
type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }

func box(t *testing.T, mails ...message.Mail) (*memory, *clock) {
	t.Helper()
	b, c := &memory{}, &clock{created()}
	if err := b.Queue(t.Context(), c.at, mails...); err != nil {
		t.Fatal(err)
	}
	return b, c
}

func numbered(n int) []message.Mail {
	var out []message.Mail
	for i := range n {
		m := letter()
		m.Key = fmt.Sprintf("reminder/place-%d", i+1)
		out = append(out, m)
	}
	return out
}

func pass(t *testing.T, b message.Outbox, s message.Sender, c *clock, p message.Policy) message.Report {
	t.Helper()
	done, err := message.Deliver(t.Context(), b, s, c.now, p)
	if err != nil {
		t.Fatalf("Deliver: %v", err)
	}
	return done
}

func TestWait(t *testing.T) {
	p := message.Policy{First: time.Minute, Ceiling: time.Hour}
	for tries, want := range map[int]time.Duration{
		0: time.Minute, 1: time.Minute, 2: 2 * time.Minute, 3: 4 * time.Minute, 6: 32 * time.Minute,
		7: time.Hour, 8: time.Hour, 1000000: time.Hour,
	} {
		if got := p.Wait(tries); got != want {
			t.Errorf("Wait(%d) = %v, want %v", tries, got, want)
		}
	}
}

func TestDefaultPolicyTriesForTwoDays(t *testing.T) {
	p := message.DefaultPolicy()
	var whole time.Duration
	for i := 1; i < p.MaxTries; i++ {
		whole += p.Wait(i)
	}
	if whole < 45*time.Hour || whole > 49*time.Hour {
		t.Errorf("the default policy gives up after %v", whole)
	}
}

func TestDeliverSendsWhatIsDue(t *testing.T) {
	b, c := box(t, numbered(3)...)
	b.mails[1].NextTry = c.at.Add(time.Second)
	var kept capture
	got := pass(t, b, &kept, c, message.DefaultPolicy())
	if diff := cmp.Diff(message.Report{Sent: 2}, got); diff != "" {
		t.Error(diff)
	}
	var keys []string
	for _, m := range kept.all() {
		keys = append(keys, m.Key)
	}
	if diff := cmp.Diff([]string{"reminder/place-1", "reminder/place-3"}, keys); diff != "" {
		t.Error(diff)
	}
	if m := b.all()[0]; m.State != message.Sent || !m.SentAt.Equal(c.at) || m.Tries != 1 {
		t.Errorf("kept as %+v", m)
	}
	if again := pass(t, b, &kept, c, message.DefaultPolicy()); again != (message.Report{}) {
		t.Errorf("a second pass did %+v", again)
	}
}

func TestDeliverKeepsToItsBatch(t *testing.T) {
	b, c := box(t, numbered(5)...)
	p := message.DefaultPolicy()
	p.Batch = 2
	var kept capture
	for _, want := range []int{2, 2, 1, 0} {
		if got := pass(t, b, &kept, c, p); got.Sent != want {
			t.Errorf("a pass sent %d, want %d", got.Sent, want)
		}
	}
}

func TestDeliverTriesAgainAndGivesUp(t *testing.T) {
	b, c := box(t, letter())
	p := message.Policy{Batch: 5, Patience: time.Second, First: time.Minute, Ceiling: 4 * time.Minute, MaxTries: 5}
	busy := sends(func(context.Context, message.Mail) error { return errors.New("451 busy") })
	for try, wait := range []time.Duration{time.Minute, 2 * time.Minute, 4 * time.Minute, 4 * time.Minute} {
		if got := pass(t, b, busy, c, p); got != (message.Report{Delayed: 1}) {
			t.Fatalf("try %d: %+v", try+1, got)
		}
		m := b.all()[0]
		if m.State != message.Queued || m.LastError != "451 busy" || !m.NextTry.Equal(c.at.Add(wait)) {
			t.Fatalf("after try %d: %+v, want the next in %v", try+1, m, wait)
		}
		c.at = m.NextTry.Add(-time.Nanosecond)
		if got := pass(t, b, busy, c, p); got != (message.Report{}) {
			t.Fatalf("tried before its time: %+v", got)
		}
		c.at = m.NextTry
	}
	if got := pass(t, b, busy, c, p); got != (message.Report{GivenUp: 1}) {
		t.Fatalf("try 5: %+v", got)
	}
	if m := b.all()[0]; m.State != message.Failed || m.Tries != 5 || m.LastError != "451 busy" || m.Text == "" {
		t.Errorf("kept as %+v", m)
	}
	c.at = c.at.AddDate(1, 0, 0)
	if got := pass(t, b, busy, c, p); got != (message.Report{}) {
		t.Errorf("a mail given up was tried: %+v", got)
	}
}

func TestDeliverGivesUpAtOnce(t *testing.T) {
	tests := []struct {
		name   string
		change func(*message.Mail)
		err    error
		asked  int
		want   string
	}{
		{"when refused for good", func(*message.Mail) {}, fmt.Errorf("550: %w", message.ErrRefused), 1,
			"550: refused for good"},
		{"when too late", func(m *message.Mail) { m.UselessAt = created() }, nil, 0, "too late to be of use"},
		{"when it cannot be sent", func(m *message.Mail) { m.Subject = "a\r\nBcc: b@example.org" }, nil, 0,
			"subject has a line break"},
		{"when the last try never ended", func(m *message.Mail) { m.Tries = message.DefaultPolicy().MaxTries }, nil, 0,
			"without an answer"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m, asked := letter(), 0
			tt.change(&m)
			b, c := box(t, m)
			s := sends(func(context.Context, message.Mail) error {
				asked++
				return tt.err
			})
			if got := pass(t, b, s, c, message.DefaultPolicy()); got != (message.Report{GivenUp: 1}) ||
				asked != tt.asked {
				t.Errorf("%+v after asking the sender %d times, want %d", got, asked, tt.asked)
			}
			if kept := b.all()[0]; kept.State != message.Failed || !strings.Contains(kept.LastError, tt.want) {
				t.Errorf("kept as %s: %q, want %q", kept.State, kept.LastError, tt.want)
			}
		})
	}
}

func TestMailLostInAStopComesBack(t *testing.T) {
	b, c := box(t, letter())
	p := message.DefaultPolicy()
	if _, err := b.Claim(t.Context(), c.at, 10*time.Minute, 1); err != nil { // and the program is killed
		t.Fatal(err)
	}
	var kept capture
	if got := pass(t, b, &kept, c, p); got.Sent != 0 {
		t.Fatalf("a claimed mail was sent by another: %+v", got)
	}
	c.at = c.at.Add(10 * time.Minute)
	if got := pass(t, b, &kept, c, p); got.Sent != 1 {
		t.Errorf("after the claim: %+v", got)
	}
}

func TestMailSentButNotStoredIsSentAgainUnderItsKey(t *testing.T) {
	b, c := box(t, letter())
	var kept capture
	b.sentFail = errors.New("connection lost")
	if _, err := message.Deliver(t.Context(), b, &kept, c.now, message.DefaultPolicy()); !errors.Is(err, b.sentFail) {
		t.Fatalf("Deliver = %v, want the store's error", err)
	}
	b.sentFail = nil
	c.at = c.at.Add(time.Hour)
	pass(t, b, &kept, c, message.DefaultPolicy())
	got := kept.all()
	if len(got) != 2 || got[0].Key != got[1].Key || b.all()[0].State != message.Sent {
		t.Errorf("sent %d times, kept as %s", len(got), b.all()[0].State)
	}
}

func TestStopInTheMiddle(t *testing.T) {
	b, c := box(t, numbered(3)...)
	ctx, stop := context.WithCancel(t.Context())
	asked := 0
	s := sends(func(context.Context, message.Mail) error {
		asked++
		stop() // the mail has left, and the program is told to stop
		return nil
	})
	if _, err := message.Deliver(ctx, b, s, c.now, message.DefaultPolicy()); err != nil {
		t.Fatal(err)
	}
	if m := b.all()[0]; asked != 1 || m.State != message.Sent {
		t.Errorf("asked %d times, the first is %s: want 1 and sent", asked, m.State)
	}
	if m := b.all()[1]; m.State != message.Queued {
		t.Errorf("the second is %s", m.State)
	}
}

func TestPatienceEndsOneTry(t *testing.T) {
	b, c := box(t, numbered(2)...)
	p := message.DefaultPolicy()
	p.Patience = 20 * time.Millisecond
	s := sends(func(ctx context.Context, m message.Mail) error {
		if m.Key == "reminder/place-2" {
			return nil
		}
		<-ctx.Done()
		return ctx.Err()
	})
	if got := pass(t, b, s, c, p); got != (message.Report{Sent: 1, Delayed: 1}) {
		t.Errorf("a silent server and a quick one: %+v", got)
	}
}

func TestSeveralInstancesSendOnce(t *testing.T) {
	b, c := box(t, numbered(40)...)
	p := message.DefaultPolicy()
	p.Batch = 3
	var kept capture
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for range 10 {
				if _, err := message.Deliver(t.Context(), b, &kept, c.now, p); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	seen := map[string]int{}
	for _, m := range kept.all() {
		seen[m.Key]++
	}
	if len(seen) != 40 || len(kept.all()) != 40 {
		t.Errorf("%d mails sent of 40 different, %d in all", len(seen), len(kept.all()))
	}
}

func TestQueueTwiceIsOnce(t *testing.T) {
	b, c := box(t, letter(), letter())
	var kept capture
	if got := pass(t, b, &kept, c, message.DefaultPolicy()); got.Sent != 1 {
		t.Errorf("one key queued twice: %+v", got)
	}
}

// Whatever the server answers, every mail ends as sent, or as failed with a
// reason, and none is tried more often than the policy allows.
func TestEveryMailEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, c := &memory{}, &clock{created()}
		n := rapid.IntRange(1, 6).Draw(t, "mails")
		if err := b.Queue(context.Background(), c.at, numbered(n)...); err != nil {
			t.Fatal(err)
		}
		p := message.Policy{Batch: 4, Patience: time.Second, First: time.Second, Ceiling: time.Minute,
			MaxTries: rapid.IntRange(1, 8).Draw(t, "most")}
		answers := rapid.SampledFrom([]error{nil, errors.New("451"), message.ErrRefused})
		sent := map[string]int{}
		s := sends(func(_ context.Context, m message.Mail) error {
			err := answers.Draw(t, "answer")
			if err == nil {
				sent[m.Key]++
			}
			return err
		})
		for range n * p.MaxTries {
			if _, err := message.Deliver(context.Background(), b, s, c.now, p); err != nil {
				t.Fatal(err)
			}
			c.at = c.at.Add(p.Ceiling)
		}
		for _, m := range b.all() {
			ended := m.State == message.Sent && sent[m.Key] == 1 || m.State == message.Failed && sent[m.Key] == 0 &&
				m.LastError != ""
			if !ended || m.Tries > p.MaxTries {
				t.Fatalf("%s ended as %s after %d tries, sent %d times: %q",
					m.Key, m.State, m.Tries, sent[m.Key], m.LastError)
			}
		}
	})
}

func TestFromOutboxToLetterbox(t *testing.T) {
	b, c := box(t, letter())
	p := message.DefaultPolicy()
	busy := receive(t, script{replies: map[string]string{"RCPT": "451 4.7.1 come back later"}})
	if got := pass(t, b, sender(t, busy, nil), c, p); got != (message.Report{Delayed: 1}) {
		t.Fatalf("a server that asks to come back: %+v", got)
	}
	if m := b.all()[0]; !strings.Contains(m.LastError, "451") || !strings.Contains(m.LastError, "come back later") {
		t.Errorf("the server's answer is kept as %q", m.LastError)
	}
	c.at = c.at.Add(p.First)
	ready := receive(t, script{})
	if got := pass(t, b, sender(t, ready, nil), c, p); got != (message.Report{Sent: 1}) {
		t.Fatalf("the next time: %+v", got)
	}
	id := parse(t, only(t, ready).data).Header.Get("Message-Id")
	if m := b.all()[0]; id != "<"+message.MessageID(m.Key, "hikes@saltbush.example")+">" || m.State != message.Sent ||
		m.LastError != "" {
		t.Errorf("arrived as %q, kept as %s with %q", id, m.State, m.LastError)
	}
}

func TestDiscardRefusesWhatNoSenderTakes(t *testing.T) {
	if err := (message.Discard{}).Send(t.Context(), letter()); err != nil {
		t.Errorf("a good mail: %v", err)
	}
	if err := (message.Discard{}).Send(t.Context(), message.Mail{}); !errors.Is(err, message.ErrRefused) {
		t.Errorf("an empty mail: %v, want a refusal", err)
	}
}
