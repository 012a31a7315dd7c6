package message_test

import (
	"context"
	"crypto/ecdh"
	"crypto/rand"
	"errors"
	"fmt"
	"net/netip"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
)

// browserKeys returns the keys of a subscription.
func browserKeys(t *testing.T) (p256dh, auth []byte) {
	t.Helper()
	k, err := ecdh.P256().GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return k.PublicKey().Bytes(), []byte("sixteen secret b")
}

func TestSubscriptionsThatAreRefused(t *testing.T) {
	key, auth := browserKeys(t)
	for _, c := range []struct {
		name, endpoint string
		local, ok      bool
	}{
		{"a push service", "https://push.example.org/send/abc", false, true},
		{"not encrypted", "http://push.example.org/send/abc", false, false},
		{"another scheme", "file:///etc/passwd", false, false},
		{"with a password", "https://a:b@push.example.org/x", false, false},
		{"this machine by name", "https://localhost/x", false, false},
		{"this machine by number", "https://127.0.0.1/x", false, false},
		{"this machine in the other family", "https://[::1]/x", false, false},
		{"a home", "https://192.168.1.1/x", false, false},
		{"a company", "https://10.1.2.3/x", false, false},
		{"a cloud's own data", "https://169.254.169.254/latest", false, false},
		{"written into the other family", "https://[::ffff:10.0.0.1]/x", false, false},
		{"this machine, in a test", "http://127.0.0.1:81/x", true, true},
		{"a home, in a test", "http://192.168.1.1/x", true, false},
		{"no host", "https:///x", false, false},
		{"far too long", "https://push.example.org/" + strings.Repeat("x", 2000), false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := message.Subscription{Endpoint: c.endpoint, P256dh: key, Auth: auth}.Check(c.local)
			if (err == nil) != c.ok {
				t.Errorf("%s: %v, want ok %v", c.endpoint, err, c.ok)
			}
		})
	}
	for name, s := range map[string]message.Subscription{
		"short key":    {P256dh: key[:64], Auth: auth},
		"no point":     {P256dh: append([]byte{4}, make([]byte, 64)...), Auth: auth},
		"short secret": {P256dh: key, Auth: auth[:8]},
	} {
		s.Endpoint = "https://push.example.org/x"
		if s.Check(false) == nil {
			t.Errorf("%s is taken", name)
		}
	}
}

func TestPublicAddresses(t *testing.T) {
	for text, want := range map[string]bool{
		"8.8.8.8": true, "2606:4700::1": true, "10.0.0.1": false, "172.16.0.1": false, "100.64.0.1": false,
		"127.0.0.2": false, "0.0.0.0": false,
		"169.254.1.1": false, "224.0.0.1": false, "255.255.255.255": false, "::1": false, "fe80::1": false,
		"fc00::1": false, "64:ff9b::a00:1": false,
		"::ffff:192.168.0.1": false, "2002:a00:1::": false, "192.0.2.1": false,
	} {
		if got := message.Public(netip.MustParseAddr(text)); got != want {
			t.Errorf("%s: public %v, want %v", text, got, want)
		}
	}
}

// pushBook holds one subscription.
type pushBook struct {
	s     message.Subscription
	ended string
}

func (b *pushBook) Subscription(_ context.Context, id int64) (message.Subscription, error) {
	if id != b.s.ID || b.ended != "" {
		return message.Subscription{}, message.ErrNotFound
	}
	return b.s, nil
}

func (b *pushBook) EndSubscription(_ context.Context, _ int64, _ time.Time, why string) error {
	b.ended = why
	return nil
}

// answering is a Pusher that always gives the same answer.
type answering struct {
	status int
	err    error
	text   string
}

func (a *answering) Push(_ context.Context, _ message.Subscription, text []byte) (int, error) {
	a.text = string(text)
	return a.status, a.err
}

func TestAnswersOfAPushService(t *testing.T) {
	key, auth := browserKeys(t)
	tooLong := fmt.Errorf("too long: %w", message.ErrRefused)
	for _, c := range []struct {
		name           string
		answer         answering
		sent, forGood  bool
		endsTheBrowser bool
	}{
		{"created", answering{status: 201}, true, false, false},
		{"accepted", answering{status: 202}, true, false, false},
		{"gone", answering{status: 410}, false, true, true},
		{"not found", answering{status: 404}, false, true, true},
		{"too long", answering{status: 413}, false, true, false},
		{"too long to encrypt", answering{err: tooLong}, false, true, false},
		{"too many", answering{status: 429}, false, false, false},
		{"in trouble", answering{status: 503}, false, false, false},
		{"forbidden", answering{status: 403}, false, false, false},
		{"moved", answering{status: 301}, false, false, false},
		{"no answer", answering{err: errors.New("connection reset")}, false, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			book := &pushBook{s: message.Subscription{
				ID: 7, Endpoint: "https://push.example.org/x", P256dh: key, Auth: auth,
			}}
			p := message.NewPush(book, false, time.Now, &c.answer)
			err := p.Send(t.Context(),
				message.Mail{Channel: message.ByPush, To: "7", Subject: "s", Text: "{}", Key: "k"})
			if (err == nil) != c.sent || errors.Is(err, message.ErrRefused) != c.forGood {
				t.Errorf("got %v, want sent %v, refused for good %v", err, c.sent, c.forGood)
			}
			if (book.ended != "") != c.endsTheBrowser {
				t.Errorf("subscription ended: %q, want ended %v", book.ended, c.endsTheBrowser)
			}
			if c.answer.text != "{}" {
				t.Errorf("pushed %q, want the mail's text", c.answer.text)
			}
		})
	}
}

func TestPushKeysAreReadAgain(t *testing.T) {
	keys, err := message.NewPushKeys()
	if err != nil {
		t.Fatal(err)
	}
	private, err := keys.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	again, err := message.ParsePushKeys(private)
	if err != nil || again.Public() != keys.Public() || len(again.Public()) != 87 {
		t.Errorf("read %q (%v), want %q, 65 bytes in base64url", again.Public(), err, keys.Public())
	}
	if _, err := message.ParsePushKeys(private[:31]); err == nil {
		t.Error("a short key is accepted")
	}
}

func TestPushToNobodyIsGivenUp(t *testing.T) {
	p := message.NewPush(&pushBook{ended: "gone"}, false, time.Now, &answering{status: 201})
	for _, to := range []string{"7", "seven"} {
		if err := p.Send(context.Background(), message.Mail{Channel: message.ByPush, To: to, Subject: "s", Text: "{}",
			Key: "k"}); !errors.Is(err, message.ErrRefused) {
			t.Errorf("to %s: %v, want a refusal for good", to, err)
		}
	}
}

func TestPushNamesNobody(t *testing.T) {
	w := alarm()
	w.To = "7"
	m, err := message.Pushed(w, 2, "/hikes/9/watch")
	if err != nil {
		t.Fatal(err)
	}
	if m.Key != w.Ref+"/push/2" || m.Channel != message.ByPush || !strings.Contains(m.Text, `"url":"/hikes/9/watch"`) {
		t.Errorf("%+v", m)
	}
	for _, name := range append([]string{w.Name}, w.Out...) {
		if strings.Contains(m.Text, strings.Fields(name)[0]) {
			t.Errorf("%s stands in %s", name, m.Text)
		}
	}
}
