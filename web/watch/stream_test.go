package watch_test

import (
	"bufio"
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
)

// readStream returns what a stream sends within the time, or until enough, if given, says so of
// a line.
func readStream(t *testing.T, v *sitetest.Visitor, url, last string, span time.Duration,
	enough func(line string) bool) ([]string, http.Header) {
	t.Helper()
	ctx, stop := context.WithTimeout(context.Background(), span)
	defer stop()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Last-Event-ID", last)
	res, err := v.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	var lines []string
	for in := bufio.NewScanner(res.Body); in.Scan(); {
		lines = append(lines, in.Text())
		if enough != nil && enough(in.Text()) {
			break
		}
	}
	return lines, res.Header
}

// word is the line of an event that says only that the server is there.
const word = "event: clock"

// A quiet stream speaks every few seconds, so that a page can tell it from a dead one. With
// -short it is heard once; quiet_internal_test.go counts the words by a clock that need not be
// waited for.
func TestQuietStreamSpeaks(t *testing.T) {
	t.Parallel()
	want := 3
	if testing.Short() {
		want = 1
	}
	l := sitetest.NewLookout(t)
	l.Overdue(-30 * time.Minute)
	s := l.Pages(time.Now)
	v := s.SignIn(t, sitetest.Coordinator)
	for _, path := range []string{"/board/stream", "/hikes/1/watch/stream"} {
		t.Run(path, func(t *testing.T) {
			t.Parallel()
			words := 0
			_, h := readStream(t, v, s.URL+path, "", 12*time.Second, func(line string) bool {
				if line == word {
					words++
				}
				return words == want
			})
			if got := h.Get("Content-Type"); got != "text/event-stream" {
				t.Errorf("%s is %q, want an event stream", path, got)
			}
			if words < want {
				t.Errorf("%s spoke %d times in 12 s, want %d, at once and every 5 s", path, words, want)
			}
		})
	}
}

// A browser that says which drawing it shows is not sent rows that have not changed.
func TestStreamGoesOnFromDrawing(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	l.Overdue(-30 * time.Minute)
	now := time.Now()
	s := l.Pages(func() time.Time { return now })
	v := s.SignIn(t, sitetest.Coordinator)
	drawn, _ := v.Get("/board").Want(http.StatusOK).Find("#live").Attr("data-drawn")
	atOnce := func(line string) bool { return line == word } // which follows the rows
	for _, tt := range []struct {
		last   string
		enough func(string) bool
		rows   bool
	}{{"", atOnce, true}, {"of-another-site", atOnce, true}, {drawn, nil, false}} {
		lines, _ := readStream(t, v, s.URL+"/board/stream", tt.last, 2*time.Second, tt.enough)
		all := strings.Join(lines, "\n")
		if got := strings.Contains(all, `id="party-1"`); got != tt.rows {
			t.Errorf("after drawing %q the stream sends the row: %v, want %v", tt.last, got, tt.rows)
		}
		if !strings.Contains(all, word) {
			t.Errorf("after drawing %q the stream says nothing: %q", tt.last, all)
		}
	}
}
