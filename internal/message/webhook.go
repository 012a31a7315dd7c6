package message

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// The headers of a webhook. The key stays the same when a message is sent again, so that the
// receiver can skip the second one.
const (
	HookTime = "Saltbush-Time" // seconds since 1970, as signed
	HookSign = "Saltbush-Sign" // see SignHook
	HookKey  = "Saltbush-Key"  // Mail.Key
)

// Poster posts a body to an address and returns the status of the answer. It follows no
// redirects.
type Poster interface {
	Post(ctx context.Context, url string, headers map[string]string, body []byte) (status int, err error)
}

// Hook is a Sender that posts messages to the organization's own gateway, such as one for
// text messages, as JSON with key, to, subject, text and created.
type Hook struct {
	url    string
	secret []byte
	clock  func() time.Time
	poster Poster
}

// Our judgment: long enough not to be guessed; it is typed once. In characters.
const shortestSecret = 16

// NewHook returns a sender to the address. The receiver checks signatures with the secret.
func NewHook(url, secret string, clock func() time.Time, p Poster) (*Hook, error) {
	switch {
	case !strings.HasPrefix(url, "https://") && !strings.HasPrefix(url, "http://"):
		return nil, fmt.Errorf("webhook address %q: begins with neither https:// nor http://", url)
	case len(secret) < shortestSecret:
		return nil, fmt.Errorf("webhook secret: %d characters, want at least %d", len(secret), shortestSecret)
	}
	return &Hook{url: url, secret: []byte(secret), clock: clock, poster: p}, nil
}

// SignHook returns the signature of a body sent at a time: v1= and the hexadecimal
// HMAC-SHA256 (RFC 2104, 1997; FIPS 180-4, 2015) with the secret of the time, a period, and
// the body.
func SignHook(secret []byte, stamp string, body []byte) string {
	mac := hmac.New(sha256.New, secret)
	fmt.Fprintf(mac, "%s.%s", stamp, body)
	return "v1=" + hex.EncodeToString(mac.Sum(nil))
}

// Send posts one message. After any answer but a 2xx it is tried again, even after a 4xx: a
// gateway under repair may refuse, and an alarm must not be given up for that. Only 410 Gone
// is final.
func (h *Hook) Send(ctx context.Context, m Mail) error {
	if err := checkMail(m); err != nil {
		return err
	}
	body, err := json.Marshal(struct {
		Key     string    `json:"key"`
		To      string    `json:"to"`
		Subject string    `json:"subject"`
		Text    string    `json:"text"`
		Created time.Time `json:"created"`
	}{m.Key, m.To, m.Subject, m.Text, m.Created.UTC()})
	if err != nil {
		return err
	}
	stamp := strconv.FormatInt(h.clock().Unix(), 10)
	status, err := h.poster.Post(ctx, h.url, map[string]string{
		"Content-Type": "application/json", HookTime: stamp, HookKey: m.Key, HookSign: SignHook(h.secret, stamp, body),
	}, body)
	switch {
	case err != nil:
		return fmt.Errorf("webhook: %w", err)
	case status/100 == 2:
		return nil
	case status == 410:
		return fmt.Errorf("webhook: the gateway answers 410, gone: %w", ErrRefused)
	}
	return fmt.Errorf("webhook: the gateway answers %d", status)
}

// AlarmPolicy sends alarms at once, again within seconds, and for about two days.
// Our judgment: a late alarm is still wanted, and one whose claimant was killed must be due
// again within a minute.
func AlarmPolicy() Policy {
	return Policy{Batch: 1, Patience: 20 * time.Second, First: 5 * time.Second, Ceiling: 5 * time.Minute, MaxTries: 600}
}
