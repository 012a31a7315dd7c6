package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"saltbush/internal/localpg"
	"saltbush/internal/localpg/pgtest"
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
		t.Fatal(err)
	}
	link := filepath.Join("/tmp", fmt.Sprintf("saltbush-mortal-%d", os.Getpid())) // a socket's path must be short
	m := &mortal{t: t, dir: pgtest.Cluster(t), programs: programs, link: link}
	m.start()
	t.Cleanup(func() {
		_ = os.Remove(m.link)
		if err := m.server.Stop(); err != nil {
			t.Error(err)
		}
	})
	if err := m.server.CreateDatabase(context.Background(), site.DatabaseName); err != nil {
		t.Fatal(err)
	}
	return m
}

func (m *mortal) start() {
	m.t.Helper()
	options := localpg.Options{
		Dir:      m.dir,
		Programs: m.programs,
		Settings: map[string]string{"synchronous_commit": "on"},
	}
	var err error
	if m.server, err = localpg.Start(context.Background(), options); err != nil {
		m.t.Fatal(err)
	}
	_, rest, _ := strings.Cut(m.server.DSN(site.DatabaseName), "host=")
	socket, _, _ := strings.Cut(rest, " ")
	_ = os.Remove(m.link) // that of the server before
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
