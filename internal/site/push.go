package site

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"syscall"
	"time"

	"saltbush/internal/message"
)

// pushPolicy is that of alarms, with the patience of a service on the internet.
func pushPolicy() message.Policy {
	p := message.AlarmPolicy()
	p.Patience = hookPatience
	return p
}

// newPusher posts to push services, whose addresses come from browsers: a name that leads
// to a private address is refused when it is dialled, no proxy is asked, no redirect
// followed. Local allows loopback, for tests.
func newPusher(local bool) poster {
	dialer := &net.Dialer{Timeout: hookPatience, Control: func(_, address string, _ syscall.RawConn) error {
		return mayDial(address, local)
	}}
	transport := &http.Transport{
		DialContext:         dialer.DialContext,
		TLSHandshakeTimeout: hookPatience,
		IdleConnTimeout:     time.Minute,
		ForceAttemptHTTP2:   true,
	}
	return poster{&http.Client{Timeout: hookPatience, Transport: transport, CheckRedirect: stay}}
}

// mayDial is asked with the address that a name has led to.
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

// pushSender wakes browsers in the name of this site.
func (s *Site) pushSender(ctx context.Context, local bool) (message.Sender, error) {
	keys, err := s.db.PushKeys(ctx, s.now())
	if err != nil {
		return nil, err
	}
	return message.NewPush(keys, s.base, s.db, local, s.now, newPusher(local)), nil
}
