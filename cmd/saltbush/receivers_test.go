package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/site/sitetest"
)

const hookSecret = "a secret for tests only"

// gateway is an organization's receiver of texts.
type gateway struct {
	t  *testing.T
	mu sync.Mutex
	arrivals
}

// newGateway returns one, and the arguments that have a program send to it.
func newGateway(t *testing.T) (g *gateway, args []string) {
	g = &gateway{t: t, arrivals: newArrivals()}
	s := httptest.NewServer(g)
	t.Cleanup(s.Close)
	return g, []string{"--webhook-url", s.URL, "--webhook-secret", hookSecret}
}

func (g *gateway) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return // the sender was killed in the middle
	}
	key := r.Header.Get(message.HookKey)
	g.checkRequest(r, key, body)
	g.mu.Lock()
	mood := g.mood(key, key[len(key)-len("/webhook")-1])
	g.mu.Unlock()
	switch mood {
	case fails:
		http.Error(w, "not now", http.StatusServiceUnavailable)
	case hangs:
		<-r.Context().Done()
	case losesAnswer:
		panic(http.ErrAbortHandler) // closes the connection
	}
}

// checkRequest holds a request to what we promise to gateways.
func (g *gateway) checkRequest(r *http.Request, key string, body []byte) {
	stamp := r.Header.Get(message.HookTime)
	if got, want := r.Header.Get(message.HookSign), message.SignHook([]byte(hookSecret), stamp, body); got != want {
		g.t.Errorf("signature %q, want %q", got, want)
	}
	if at, err := strconv.ParseInt(stamp, 10, 64); err != nil || time.Since(time.Unix(at, 0)).Abs() > time.Minute {
		g.t.Errorf("signed at %q, %v; want within a minute", stamp, err)
	}
	var text struct{ Key, To, Text string }
	if err := json.Unmarshal(body, &text); err != nil || text.Key != key || text.To == "" || text.Text == "" {
		g.t.Errorf("body %s, %v; want the key %s, an addressee and a text", body, err, key)
	}
}

func (g *gateway) check(t *testing.T, l *sitetest.Lookout) {
	t.Helper()
	g.mu.Lock()
	defer g.mu.Unlock()
	g.arrivals.check(t, l, message.ByHook)
	for k := range l.Pairs(`SELECT key, '' FROM outbox WHERE channel = 'webhook'`) {
		if g.taken[k[0]] == 0 {
			t.Errorf("text %s is sent and never arrived", k[0])
		}
	}
}

// postOffice is a mail server.
type postOffice struct {
	mu sync.Mutex
	arrivals
	port string
}

func newPostOffice(t *testing.T) *postOffice {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	p := &postOffice{arrivals: newArrivals()}
	_, p.port, _ = net.SplitHostPort(l.Addr().String())
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go p.serve(c)
		}
	}()
	return p
}

// args have a program send through this office.
func (p *postOffice) args() []string {
	return []string{
		"--smtp-host", "127.0.0.1", "--smtp-port", p.port, "--smtp-encryption", "none", "--smtp-from",
		"hikes@example.org",
	}
}

// serve speaks as much of RFC 5321 as one sender needs.
func (p *postOffice) serve(c net.Conn) {
	defer c.Close()
	in := bufio.NewScanner(c)
	say := func(text string) { fmt.Fprint(c, text+"\r\n") }
	say("220 post office")
	for in.Scan() {
		switch verb, _, _ := strings.Cut(strings.ToUpper(in.Text()), " "); verb {
		case "EHLO", "HELO":
			say("250 post office")
		case "DATA":
			say("354 go on")
			name, whole := readMail(in)
			if !whole {
				return // the sender was killed in the middle
			}
			if answer := p.take(name); answer != "" {
				say(answer)
				continue
			}
			return // closes the connection
		case "QUIT":
			say("221 bye")
			return
		default:
			say("250 ok")
		}
	}
}

// readMail returns the name that a mail gives itself, and whether it came whole.
func readMail(in *bufio.Scanner) (name string, whole bool) {
	for in.Scan() && in.Text() != "." {
		if id, ok := strings.CutPrefix(in.Text(), "Message-ID: "); ok {
			name = id
		}
	}
	return name, in.Err() == nil && name != "" && in.Text() == "."
}

// take returns the answer to a mail; "" is one that never comes.
func (p *postOffice) take(name string) string {
	p.mu.Lock()
	mood := p.mood(name, name[1])
	p.mu.Unlock()
	switch mood {
	case fails:
		return "451 not now"
	case hangs:
		time.Sleep(5 * time.Second) // longer than most processes of the test live
		return ""
	case losesAnswer:
		return ""
	}
	return "250 taken"
}

func (p *postOffice) check(t *testing.T, l *sitetest.Lookout) {
	t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	p.arrivals.check(t, l, message.ByAlarm)
}
