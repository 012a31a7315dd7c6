package site_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"saltbush/internal/site"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/watch"
)

// The monitor is called once a minute while the watch is kept, and not if it is not kept.
func TestHeartbeat(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	beats := make(chan struct{}, 10)
	monitor := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { beats <- struct{}{} }))
	defer monitor.Close()
	clock := sitetest.NewClock(time.Now())
	w := l.Watcher(clock.Now, func(o *site.Options) { o.Heartbeat = monitor.URL })
	pass := func() {
		t.Helper()
		if err := w.Watch(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	heard := func(name string, want bool) {
		t.Helper()
		wait := 50 * time.Millisecond // for no call to come
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
	clock.Pass(30 * time.Second)
	pass()
	heard("half a minute later", false)
	clock.Pass(31 * time.Second)
	pass()
	heard("after a minute", true)
	// A step that has been due for minutes and is not carried out.
	h := l.Post(1, clock.Now().Add(-time.Hour))
	l.Depart(h, h.Start)
	if err := l.DB.Arm(context.Background(), casesOf(t, l), clock.Now()); err != nil {
		t.Fatal(err)
	}
	clock.Pass(2 * time.Minute)
	if err := w.SendHeartbeat(context.Background()); err != nil {
		t.Fatal(err)
	}
	heard("a step is overdue", false)
	pass()
	heard("it was carried out", true)
}

func casesOf(t *testing.T, l *sitetest.Lookout) []watch.Case {
	t.Helper()
	c, err := watch.NewCaseCache(l.DB, nil).Cases(context.Background(), time.Now())
	if err != nil {
		t.Fatal(err)
	}
	return c.List
}

func TestHeartbeatAddressIsChecked(t *testing.T) {
	const sound = "https://monitor.example.org/a"
	for address, ok := range map[string]bool{"": true, sound: true, "ftp://x": false, "monitor": false} {
		if err := site.CheckHeartbeat(address); (err == nil) != ok {
			t.Errorf("%q: %v, want ok %v", address, err, ok)
		}
	}
}
