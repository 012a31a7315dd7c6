package main

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"saltbush/internal/watch"
)

// The monitor hears of a kept watch once a minute, and nothing of one that is not kept.
func TestHeartbeatMeansAKeptWatch(t *testing.T) {
	l := newLookout(t)
	beats := make(chan struct{}, 10)
	monitor := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { beats <- struct{}{} }))
	defer monitor.Close()
	clock := &settable{now: time.Now()}
	w := l.watcher(clock.get)
	var err error
	if w.beat, err = newHeart(monitor.URL, slog.New(slog.NewTextHandler(io.Discard, nil))); err != nil {
		t.Fatal(err)
	}
	pass := func() {
		t.Helper()
		if err := w.pass(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	heard := func(name string, want bool) {
		t.Helper()
		wait := 50 * time.Millisecond // for silence
		if want {
			wait = 10 * time.Second
		}
		select {
		case <-beats:
			if !want {
				t.Errorf("%s: the monitor was called", name)
			}
		case <-time.After(wait):
			if want {
				t.Errorf("%s: the monitor was not called", name)
			}
		}
	}
	pass()
	heard("the first pass", true)
	clock.set(clock.get().Add(30 * time.Second))
	pass()
	heard("half a minute later", false)
	clock.set(clock.get().Add(31 * time.Second))
	pass()
	heard("after a minute", true)
	// A step that has waited for minutes, and that nobody carries out.
	h := l.post(1, clock.get().Add(-time.Hour))
	l.depart(h, h.Start)
	if err := l.db.Arm(context.Background(), casesOf(t, l), clock.get()); err != nil {
		t.Fatal(err)
	}
	clock.set(clock.get().Add(2 * time.Minute))
	if err := w.tellOutside(context.Background()); err != nil {
		t.Fatal(err)
	}
	heard("a step is overdue", false)
	pass()
	heard("it was carried out", true)
}

func casesOf(t *testing.T, l *lookout) []watch.Case {
	t.Helper()
	c, err := watch.NewStanding(l.db, nil).Cases(context.Background(), time.Now())
	if err != nil {
		t.Fatal(err)
	}
	return c.List
}

func TestHeartbeatAddressIsChecked(t *testing.T) {
	for address, ok := range map[string]bool{"": true, "https://monitor.example.org/a": true, "ftp://x": false, "monitor": false} {
		if _, err := newHeart(address, slog.Default()); (err == nil) != ok {
			t.Errorf("%q: %v, want ok %v", address, err, ok)
		}
	}
}
