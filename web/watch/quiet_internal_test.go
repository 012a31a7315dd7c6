package watch

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"saltbush/internal/ref"
)

// quiet are changes that never come.
type quiet struct{}

func (quiet) Subscribe() (signal <-chan struct{}, cancel func()) { return nil, func() {} }

func (quiet) Since(uint64) (now uint64, ids []ref.Hike, all bool) { return 0, nil, false }

// A stream with nothing to draw speaks at once and every five seconds after its first rest, and
// ends with its browser.
func TestQuietStreamSpeaksByTheClock(t *testing.T) {
	for _, tt := range []struct {
		span  time.Duration
		words int
	}{{time.Second, 1}, {6 * time.Second, 2}, {12 * time.Second, 3}} {
		t.Run(tt.span.String(), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				ctx, leave := context.WithTimeout(t.Context(), tt.span)
				defer leave()
				w := httptest.NewRecorder()
				r := httptest.NewRequestWithContext(ctx, http.MethodGet, "/board/stream", nil)
				s := &Handlers{Changes: quiet{}}
				clock := func() string { return time.Now().Format(time.TimeOnly) }
				nothing := func() (id, text string, err error) { return "", "", nil }
				if err := s.stream(w, r, clock, nothing); err != nil {
					t.Fatal(err)
				}
				if got := strings.Count(w.Body.String(), "event: clock\n"); got != tt.words {
					t.Errorf("spoke %d times, want %d:\n%s", got, tt.words, w.Body)
				}
			})
		})
	}
}
