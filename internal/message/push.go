package message

import (
	"context"
	"crypto/ecdh"
	"encoding/base64"
	"errors"
	"fmt"
	"net/netip"
	"net/url"
	"strconv"
	"strings"
	"time"
)

// Subscription is the web push subscription of a browser.
type Subscription struct {
	ID       int64
	Endpoint string // the address of its push service
	P256dh   []byte // the browser's public key, 65 bytes, uncompressed
	Auth     []byte // the secret that it shares with the site, 16 bytes
	Label    string // "Firefox on Android", as its owner sees it
	Made     time.Time
	// Ended is when the push service said that the subscription is gone, zero before; Why
	// is its answer.
	Ended time.Time
	Why   string
}

// Subscriptions finds subscriptions by ID.
type Subscriptions interface {
	// Subscription returns one that has not ended, else ErrNotFound.
	Subscription(ctx context.Context, id int64) (Subscription, error)
	// EndSubscription stores that the subscription is gone, and why.
	EndSubscription(ctx context.Context, id int64, at time.Time, why string) error
}

const (
	// RFC 8291 (2017), section 3.2: the secret has 16 octets; an uncompressed point of P-256
	// has 65 (SEC 1, section 2.3.3).
	authLength, pointLength = 16, 65
	// Our judgment: addresses of push services have about 200 characters.
	longestEndpoint = 2000
)

// Check refuses a subscription that the site must not post to. The address comes from a
// browser, so it could be used to reach services inside the network. It has to be https and
// public; local allows loopback, for tests. A host name that resolves to a private address
// is refused when it is dialed.
func (s Subscription) Check(local bool) error {
	u, err := url.Parse(s.Endpoint)
	if err != nil || u.Host == "" || u.User != nil || len(s.Endpoint) > longestEndpoint {
		return &FieldError{"endpoint", errors.New("is no address of a push service")}
	}
	ip, notIP := netip.ParseAddr(u.Hostname())
	loopback := notIP == nil && ip.IsLoopback()
	switch {
	case local && loopback:
	case u.Scheme != "https":
		return &FieldError{"endpoint", errors.New("does not begin with https://")}
	case notIP == nil && !Public(ip), u.Hostname() == "localhost":
		return &FieldError{"endpoint", errors.New("is a private address")}
	}
	if len(s.P256dh) != pointLength || len(s.Auth) != authLength {
		return &FieldError{"keys", errors.New("are not those of a browser")}
	}
	if _, err := ecdh.P256().NewPublicKey(s.P256dh); err != nil {
		return &FieldError{"keys", errors.New("are no point of the curve")}
	}
	return nil
}

// Public reports whether an address is on the public internet: not loopback, private,
// link-local, multicast or reserved. The ranges are those of the IANA special-purpose
// registries (RFC 6890, 2013, and later).
func Public(ip netip.Addr) bool {
	ip = ip.Unmap()
	if !ip.IsGlobalUnicast() || ip.IsPrivate() || ip.IsLoopback() || ip.IsLinkLocalUnicast() {
		return false
	}
	for _, text := range []string{"0.0.0.0/8", "100.64.0.0/10", "192.0.0.0/24", "192.0.2.0/24", "198.18.0.0/15",
		"198.51.100.0/24", "203.0.113.0/24", "240.0.0.0/4",
		"64:ff9b::/96", "64:ff9b:1::/48", "100::/64", "2001::/23", "2001:db8::/32", "2002::/16"} {
		if netip.MustParsePrefix(text).Contains(ip) {
			return false
		}
	}
	return true
}

// Pusher encrypts a text for one browser (RFC 8291, 2017), posts it to the browser's push
// service in the name of this site (RFC 8292, 2017), and returns the status of the answer.
// Its error wraps ErrRefused where another try is pointless.
type Pusher interface {
	Push(ctx context.Context, s Subscription, text []byte) (status int, err error)
}

// Push is a Sender for web push. Mail.To is the ID of a subscription.
type Push struct {
	subscriptions Subscriptions
	local         bool
	clock         func() time.Time
	pusher        Pusher
}

// NewPush returns a sender. Local allows loopback addresses, for tests.
func NewPush(list Subscriptions, local bool, clock func() time.Time, p Pusher) *Push {
	return &Push{subscriptions: list, local: local, clock: clock, pusher: p}
}

// Send pushes to one browser. If the push service says that the subscription is gone, it
// ends. Other failures are worth another try: the service may be down.
func (p *Push) Send(ctx context.Context, m Mail) error {
	if err := checkMail(m); err != nil {
		return err
	}
	id, err := strconv.ParseInt(m.To, 10, 64)
	if err != nil {
		return fmt.Errorf("push: %q is no subscription: %w", m.To, ErrRefused)
	}
	s, err := p.subscriptions.Subscription(ctx, id)
	if errors.Is(err, ErrNotFound) {
		return fmt.Errorf("push: this browser is not to be woken any more: %w", ErrRefused)
	}
	if err != nil {
		return fmt.Errorf("push: %w", err)
	}
	if err := s.Check(p.local); err != nil {
		return fmt.Errorf("push: %w: %w", ErrRefused, err)
	}
	status, err := p.pusher.Push(ctx, s, []byte(m.Text))
	if err != nil {
		return fmt.Errorf("push: %w", err)
	}
	return p.answered(ctx, s, status)
}

// answered turns the status of a push service into an error (RFC 8030, 2016, sections 5 and
// 7.3).
func (p *Push) answered(ctx context.Context, s Subscription, status int) error {
	switch {
	case status/100 == 2:
		return nil
	case status == 404 || status == 410:
		why := fmt.Sprintf("the push service answered %d: nobody listens there any more", status)
		if err := p.subscriptions.EndSubscription(ctx, s.ID, p.clock(), why); err != nil {
			return fmt.Errorf("push: end subscription %d: %w", s.ID, err)
		}
		return fmt.Errorf("push: %s: %w", why, ErrRefused)
	case status == 413:
		return fmt.Errorf("push: the push service finds the message too long: %w", ErrRefused)
	}
	return fmt.Errorf("push: the push service answered %d", status)
}

// PushText is the content of a push. It holds no person's name and nothing about health,
// because it shows on a locked screen.
type PushText struct {
	Key   string `json:"key"`   // the same for the same step, so that the browser shows it once
	Title string `json:"title"` // the step and the hike
	Body  string `json:"body"`
	URL   string `json:"url"` // on this site, behind the sign-in
}

// FromBrowser decodes a key as browsers write it: base64 or base64url, padded or not.
func FromBrowser(s string) ([]byte, error) {
	urlSafe := strings.NewReplacer("+", "-", "/", "_").Replace(s)
	return base64.RawURLEncoding.DecodeString(strings.TrimRight(urlSafe, "="))
}
