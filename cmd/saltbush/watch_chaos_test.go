package main

import (
	"bufio"
	"context"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"saltbush/internal/localpg"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/site"
)

// mortal is a database that is killed and comes back. Its address stays the same.
type mortal struct {
	t        *testing.T
	dir      string
	link     string // stands for the folder of the socket, which changes
	programs string
	server   *localpg.Server
}

func newMortal(t *testing.T) *mortal {
	t.Helper()
	programs, err := localpg.FindPrograms(os.Getenv)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	m := &mortal{t: t, dir: pgtest.Folder(t), programs: programs, link: filepath.Join("/tmp", fmt.Sprintf("saltbush-mortal-%d", os.Getpid()))}
	m.start()
	t.Cleanup(func() {
		_ = os.Remove(m.link)
		if err := m.server.Stop(); err != nil {
			t.Error(err)
		}
	})
	ctx := context.Background()
	if err := m.server.CreateDatabase(ctx, site.DatabaseName); err != nil {
		t.Fatal(err)
	}
	if err := postgres.Migrate(ctx, m.dsn()); err != nil {
		t.Fatal(err)
	}
	return m
}

func (m *mortal) start() {
	m.t.Helper()
	var err error
	m.server, err = localpg.Start(context.Background(), localpg.Options{Dir: m.dir, Programs: m.programs, Settings: map[string]string{"synchronous_commit": "on"}})
	if err != nil {
		m.t.Fatal(err)
	}
	_, rest, _ := strings.Cut(m.server.DSN(site.DatabaseName), "host=")
	socket, _, _ := strings.Cut(rest, " ")
	_ = os.Remove(m.link)
	if err := os.Symlink(socket, m.link); err != nil {
		m.t.Fatal(err)
	}
}

func (m *mortal) dsn() string {
	before, rest, _ := strings.Cut(m.server.DSN(site.DatabaseName), "host=")
	_, after, _ := strings.Cut(rest, " ")
	return before + "host=" + m.link + " " + after
}

// kill ends the database's first process without a word, and starts it again.
func (m *mortal) kill(down time.Duration) {
	m.t.Helper()
	note, err := os.ReadFile(filepath.Join(m.dir, "data", "postmaster.pid"))
	if err != nil {
		m.t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(note), "\n")
	pid, err := strconv.Atoi(strings.TrimSpace(first))
	if err != nil {
		m.t.Fatal(err)
	}
	if err := syscall.Kill(pid, syscall.SIGKILL); err != nil {
		m.t.Fatal(err)
	}
	<-m.server.Done()
	_ = m.server.Stop() // it was killed
	time.Sleep(down)
	m.start()
}

// postOffice is a mail server. The first arrival of a mail may be refused for now, hang, or
// be taken without an answer, so that it arrives twice.
type postOffice struct {
	mu   sync.Mutex
	seen map[string]int // arrivals that were taken, by the mail's own name
	met  map[string]int
	bad  map[string]int
	hung bool
	port string
}

func newPostOffice(t *testing.T) *postOffice {
	t.Helper()
	p := &postOffice{seen: map[string]int{}, met: map[string]int{}, bad: map[string]int{}}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
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

// serve speaks as much of RFC 5321 as one sender needs.
func (p *postOffice) serve(c net.Conn) {
	defer c.Close()
	in := bufio.NewScanner(c)
	say := func(text string) { _, _ = fmt.Fprint(c, text+"\r\n") }
	say("220 post office")
	for in.Scan() {
		switch verb, _, _ := strings.Cut(strings.ToUpper(in.Text()), " "); verb {
		case "EHLO", "HELO":
			say("250 post office")
		case "DATA":
			say("354 go on")
			name := ""
			for in.Scan() && in.Text() != "." {
				if id, ok := strings.CutPrefix(in.Text(), "Message-ID: "); ok {
					name = id
				}
			}
			if in.Err() != nil || name == "" || in.Text() != "." {
				return // the sender was killed in the middle
			}
			answer := p.take(name)
			if answer == "" {
				return // closes the connection
			}
			say(answer)
		case "QUIT":
			say("221 bye")
			return
		default:
			say("250 ok")
		}
	}
}

// take decides what happens to an arrival; "" is an answer that never comes.
func (p *postOffice) take(name string) string {
	p.mu.Lock()
	p.met[name]++
	first, hang := p.met[name] == 1, !p.hung
	p.hung = true
	defer p.mu.Unlock()
	switch {
	case hang:
		p.bad["hangs"]++
		p.mu.Unlock()
		time.Sleep(25 * time.Second) // longer than a sender's patience
		p.mu.Lock()
		return ""
	case first && name[1]%4 == 0:
		p.bad["fails"]++
		return "451 not now"
	case first && name[1]%4 == 1:
		p.bad["loses its answer"]++
		p.seen[name]++
		return ""
	}
	p.seen[name]++
	return "250 taken"
}

func (p *postOffice) taken() (names, twice int, bad map[string]int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, n := range p.seen {
		if n > 1 {
			twice++
		}
	}
	return len(p.seen), twice, p.bad
}

// spreadOf says a list of durations in five figures.
func spreadOf(list []time.Duration) string {
	if len(list) == 0 {
		return "none"
	}
	slices.Sort(list)
	at := func(share float64) time.Duration {
		return list[int(share*float64(len(list)-1))].Round(10 * time.Millisecond)
	}
	return fmt.Sprintf("%d: half within %v, nine in ten %v, 99 in 100 %v, all %v", len(list), at(.5), at(.9), at(.99), at(1))
}
