package watch_test

import (
	"bufio"
	"context"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
)

// listeners are browsers that keep a live page open.
type listeners struct {
	messages, bytes atomic.Int64
	mu              sync.Mutex
	heard           []int // messages of each browser
	gaps            []time.Duration
}

// listen opens the stream in n browsers, which share one session.
func listen(ctx context.Context, address string, session http.CookieJar, n int) *listeners {
	l := &listeners{heard: make([]int, n)}
	c := &http.Client{Jar: session, Transport: &http.Transport{}}
	for i := range n {
		go l.listen(ctx, c, address, i)
	}
	return l
}

func (l *listeners) listen(ctx context.Context, c *http.Client, address string, i int) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return
	}
	res, err := c.Do(req)
	if err != nil {
		return
	}
	defer res.Body.Close()
	last, in := time.Now(), bufio.NewReaderSize(res.Body, 1<<16)
	for {
		line, err := in.ReadString('\n')
		l.bytes.Add(int64(len(line)))
		if err != nil {
			return
		}
		if strings.HasPrefix(line, "id: ") {
			l.messages.Add(1)
			l.note(i, time.Since(last))
			last = time.Now()
		}
	}
}

func (l *listeners) note(i int, gap time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.heard[i]++
	l.gaps = append(l.gaps, gap)
}

// all waits until every browser has heard of a change.
func (l *listeners) all(t *testing.T) {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); l.silent() > 0; time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%d browsers heard nothing", l.silent())
		}
	}
}

func (l *listeners) silent() (n int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, k := range l.heard {
		if k == 0 {
			n++
		}
	}
	return n
}

func (l *listeners) spread() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return sitetest.Spread(l.gaps)
}
