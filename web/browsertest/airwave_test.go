package browsertest

import (
	"io"
	"net"
	"strings"
	"sync"
	"testing"
)

// airwave is the way between a phone and the site, which can be cut: then nobody listens at
// the address and every connection is gone, for the service worker as for the page.
type airwave struct {
	t        testing.TB
	to, addr string
	mu       sync.Mutex
	listener net.Listener
	open     map[net.Conn]bool
}

func newAirwave(t testing.TB, base string) *airwave {
	t.Helper()
	a := &airwave{t: t, to: strings.TrimPrefix(base, "http://"), addr: "127.0.0.1:0", open: map[net.Conn]bool{}}
	a.restore()
	t.Cleanup(a.cut)
	return a
}

func (a *airwave) base() string { return "http://" + a.addr }

func (a *airwave) restore() {
	a.t.Helper()
	l, err := net.Listen("tcp", a.addr)
	if err != nil {
		a.t.Fatal(err)
	}
	a.listener, a.addr = l, l.Addr().String()
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go a.carry(c)
		}
	}()
}

func (a *airwave) carry(phone net.Conn) {
	site, err := net.Dial("tcp", a.to)
	if err != nil {
		phone.Close()
		return
	}
	a.mu.Lock()
	a.open[phone], a.open[site] = true, true
	a.mu.Unlock()
	go func() {
		_, _ = io.Copy(site, phone) // ends when one side closes
		site.Close()
	}()
	_, _ = io.Copy(phone, site)
	phone.Close()
}

func (a *airwave) cut() {
	a.listener.Close()
	a.mu.Lock()
	defer a.mu.Unlock()
	for c := range a.open {
		c.Close()
		delete(a.open, c)
	}
}
