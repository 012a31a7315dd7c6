package site

import (
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"syscall"
	"time"

	webpush "github.com/SherClockHolmes/webpush-go"

	"saltbush/internal/message"
)

// pushPolicy is the policy of alarms, with a timeout for services on the internet.
func pushPolicy() message.Policy {
	p := message.AlarmPolicy()
	p.Patience = hookPatience
	return p
}

// guardedClient returns the client for push services, whose addresses come from browsers. It
// refuses names that resolve to private addresses, uses no proxy and follows no redirects.
// Local allows loopback, for tests.
func guardedClient(local bool) *http.Client {
	dialer := &net.Dialer{Timeout: hookPatience, Control: func(_, address string, _ syscall.RawConn) error {
		return mayDial(address, local)
	}}
	transport := &http.Transport{
		DialContext:         dialer.DialContext,
		TLSHandshakeTimeout: hookPatience,
		IdleConnTimeout:     time.Minute,
		ForceAttemptHTTP2:   true,
	}
	return &http.Client{Timeout: hookPatience, Transport: transport, CheckRedirect: noRedirect}
}

// mayDial checks the address that a name resolved to.
func mayDial(address string, local bool) error {
	at, err := netip.ParseAddrPort(address)
	if err != nil {
		return fmt.Errorf("dial %s: %w", address, err)
	}
	if message.Public(at.Addr()) || local && at.Addr().IsLoopback() {
		return nil
	}
	return fmt.Errorf("dial %s: a push service does not lie at a private address", address)
}

// pushTTL is how long a push service keeps a message.
// Our judgment: an alarm that is a day old comes too late, and was sent by mail too.
const pushTTL = 24 * time.Hour

// pusher sends web pushes with the library, through guardedClient.
type pusher struct {
	client  *http.Client
	options webpush.Options
}

// newPusher returns a pusher for a site. RFC 8292 (2017), section 2.1, wants an https URL or a
// mail address as contact. The library puts "mailto:" before anything that is not an https
// URL, so for a site without https we pass a mail address at its host.
func newPusher(keys message.PushKeys, site string, local bool) (pusher, error) {
	private, err := keys.Bytes()
	if err != nil {
		return pusher{}, err
	}
	contact := site
	if u, err := url.Parse(site); err == nil && u.Scheme != "https" {
		contact = "hikes@" + u.Hostname()
	}
	client := guardedClient(local)
	return pusher{client, webpush.Options{
		HTTPClient:      client,
		Subscriber:      contact,
		TTL:             int(pushTTL.Seconds()),
		Urgency:         webpush.UrgencyHigh,
		VAPIDPublicKey:  keys.Public(),
		VAPIDPrivateKey: base64.RawURLEncoding.EncodeToString(private),
	}}, nil
}

// Push encrypts and posts a text, and returns the status of the response. A text that is too
// long for one record is message.ErrRefused.
func (p pusher) Push(ctx context.Context, s message.Subscription, text []byte) (int, error) {
	encode := base64.URLEncoding.EncodeToString
	to := &webpush.Subscription{
		Endpoint: s.Endpoint,
		Keys:     webpush.Keys{Auth: encode(s.Auth), P256dh: encode(s.P256dh)},
	}
	res, err := webpush.SendNotificationWithContext(ctx, text, to, &p.options)
	if errors.Is(err, webpush.ErrMaxPadExceeded) {
		return 0, fmt.Errorf("%w: %w", message.ErrRefused, err)
	}
	if err != nil {
		return 0, err
	}
	return statusOf(res), nil
}

// pushSender returns the sender of web pushes.
func (s *Site) pushSender(ctx context.Context, local bool) (message.Sender, error) {
	keys, err := s.db.PushKeys(ctx, s.now())
	if err != nil {
		return nil, err
	}
	p, err := newPusher(keys, s.base, local)
	if err != nil {
		return nil, err
	}
	return message.NewPush(s.db, local, s.now, p), nil
}
