package chromium_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

func TestMain(m *testing.M) { os.Exit(chromium.Main(m)) }

// Tabs of one browser know nothing of each other.
func TestTabsAreApart(t *testing.T) {
	chromium.Needs(t)
	s := sitetest.Start(t, sitetest.Staffed)
	in, out := chromium.Open(t, s.URL, chromium.Phone), chromium.Open(t, s.URL, chromium.Desk)
	in.SignIn(sitetest.Leader)
	in.Open("/desk")
	in.Sees("Ash Moreno")
	out.Go("/desk")
	out.Arrives("/sign-in")
}

// A page that is too wide, or that nobody can use without seeing it, is found.
func TestLookFindsFaults(t *testing.T) {
	chromium.Needs(t)
	const head = `<!doctype html><html lang="en">
		<head><title>Page</title><meta name="viewport" content="width=device-width">
		<style>:root { --sans: sans-serif; --slab: serif }</style></head>
		<body><main><h1>Page</h1>`
	for _, tt := range []struct{ name, page, want string }{
		{"sound", `<p>Nothing wrong.</p>`, ""},
		{"wide", `<p style="width:900px">Wide.</p>`, "wider than the screen"},
		// 104 letters of 7 px have 368 px in DejaVu Sans, and 393 px in wide fonts.
		{"wide in wide fonts", `<p style="font: 7px var(--sans); white-space: nowrap; width: max-content">
			Bring three litres
			of water to the trailhead at 06:30 and tell the leader who drives you home. 0123456789</p>`,
			"wide fonts: the page"},
		{"picture without words", `<img src="/x.png">`, "image-alt"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
				w.Header().Set("Content-Type", "text/html")
				_, _ = w.Write([]byte(head + tt.page + `</main></body></html>`))
			}))
			defer s.Close()
			found := &faults{TB: t}
			v := chromium.Open(t, s.URL, chromium.Phone)
			v.T = found
			v.Open("/")
			if got := strings.Join(found.list, "; "); !strings.Contains(got, tt.want) || tt.want == "" && got != "" {
				t.Errorf("found %q, want %q", got, tt.want)
			}
		})
	}
}

// faults keeps what a look says instead of failing the test.
type faults struct {
	testing.TB
	list []string
}

func (f *faults) Errorf(format string, args ...any) {
	f.list = append(f.list, fmt.Sprintf(format, args...))
}
