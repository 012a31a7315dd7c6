package browsertest

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

// line is a proxy before a site that can fail as lines and servers do.
type line struct {
	URL   string
	serve *httptest.Server

	mu     sync.Mutex
	lifted chan struct{} // closed when a frozen line goes on, nil while it is not frozen
	dead   bool          // every connection ends at once
	status int           // what streams answer instead, 0 for themselves
	kind   string        // of that answer
}

func newLine(t *testing.T, base string) *line {
	t.Helper()
	to, err := url.Parse(base)
	if err != nil {
		t.Fatal(err)
	}
	l := &line{}
	proxy := &httputil.ReverseProxy{
		Rewrite:       func(r *httputil.ProxyRequest) { r.SetURL(to); r.Out.Host = r.In.Host },
		FlushInterval: -1,
	}
	l.serve = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		dead, status, kind := l.now()
		switch {
		case dead:
			panic(http.ErrAbortHandler)
		case status != 0 && strings.HasSuffix(r.URL.Path, "/stream"):
			w.Header().Set("Content-Type", kind)
			w.WriteHeader(status)
			_, _ = w.Write([]byte("data: <p id=\"board\">An error page</p>\n\n"))
		default:
			proxy.ServeHTTP(&lineWriter{w, l}, r)
		}
	}))
	t.Cleanup(func() {
		l.goOn()
		l.serve.CloseClientConnections()
	})
	l.URL = l.serve.URL
	return l
}

// now is the state of the line, once it is not frozen.
func (l *line) now() (dead bool, status int, kind string) {
	l.mu.Lock()
	lifted := l.lifted
	l.mu.Unlock()
	if lifted != nil {
		<-lifted
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.dead, l.status, l.kind
}

func (l *line) freeze() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.lifted = make(chan struct{})
}

func (l *line) kill() {
	l.mu.Lock()
	l.dead = true
	l.mu.Unlock()
	l.serve.CloseClientConnections()
}

func (l *line) answer(status int, kind string) {
	l.mu.Lock()
	l.status, l.kind = status, kind
	l.mu.Unlock()
	l.serve.CloseClientConnections()
}

// goOn heals whatever was wrong.
func (l *line) goOn() {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.lifted != nil {
		close(l.lifted)
	}
	l.lifted, l.dead, l.status = nil, false, 0
}

// lineWriter holds back what is written while the line is frozen.
type lineWriter struct {
	http.ResponseWriter
	l *line
}

func (w *lineWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

func (w *lineWriter) Write(b []byte) (int, error) {
	if dead, _, _ := w.l.now(); dead {
		panic(http.ErrAbortHandler)
	}
	return w.ResponseWriter.Write(b)
}

// soonEnough is how long a page may look alive when its line is lost.
const soonEnough = 15 * time.Second

const lostNote = "#live-lost .Note-title"

// A page that has lost its line says so, with the time of the last word, and keeps its rows.
// When the line is back it shows what happened meanwhile.
func TestLostLine(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	pages := []string{"/board", "/hikes/1/watch"}
	for i, fault := range []struct {
		name    string
		at      func(*line)
		opening bool // the fault is there when the page opens
	}{
		{"frozen", (*line).freeze, false},
		{"killed", (*line).kill, false},
		{"503 on reconnect", func(l *line) { l.answer(503, "text/html") }, false},
		{"502 on reconnect", func(l *line) { l.answer(502, "text/event-stream") }, false},
		{"503 at open", func(l *line) { l.answer(503, "text/html") }, true},
		{"500 at open", func(l *line) { l.answer(500, "text/event-stream") }, true},
		{"403 at open", func(l *line) { l.answer(403, "text/html") }, true},
		{"404 at open", func(l *line) { l.answer(404, "text/html") }, true},
		{"another page at open", func(l *line) { l.answer(200, "text/html") }, true},
	} {
		for j, path := range pages {
			if i%len(pages) != j && !sitetest.Long() {
				continue // each fault on one of the pages, and on both in the long form
			}
			t.Run(fault.name+path, func(t *testing.T) {
				t.Parallel()
				l := sitetest.NewLookout(t)
				h := l.Overdue(-30 * time.Minute)
				lost := newLine(t, l.Pages(time.Now).URL)
				v := chromium.Open(t, lost.URL, chromium.Phone)
				v.SignIn(sitetest.Coordinator)
				if fault.opening {
					fault.at(lost)
					v.Go(path)
				} else {
					v.Go(path)
					v.Sees("The server was last heard at")
					fault.at(lost)
				}
				losesLine(t, v)
				v.Look()
				l.Record(h, party.KindReported, time.Now(), func(e *party.Event) { e.Trouble, e.Note = true, "a fall" })
				lost.goOn()
				findsLine(t, v)
			})
		}
	}
}

func losesLine(t *testing.T, v *chromium.Tab) {
	t.Helper()
	last := time.Now().UTC()
	if !chromium.Await(soonEnough, func() bool { return v.Text(lostNote) != "" }) {
		t.Fatalf("no note after %v\npage: %s", soonEnough, v.Where())
	}
	said, err := time.Parse("Disconnected, as of 15:04:05", v.Text(lostNote))
	if err != nil {
		t.Fatal(err)
	}
	// The pages have the zones of the house and of the trailhead, which differ by whole hours.
	slack := last.Sub(said.AddDate(last.Year(), 0, 0)) % time.Hour
	if slack = min(slack, time.Hour-slack); slack > 10*time.Second {
		t.Errorf("the note says %q, want the last word, about %s", v.Text(lostNote), last.Format(time.TimeOnly))
	}
	for _, text := range []string{"An error page", "in 30 min", "in 29 min"} {
		if strings.Contains(v.Text("main"), text) {
			t.Errorf("while disconnected the page says %q", text)
		}
	}
	if got := v.Text("[data-live]"); !strings.Contains(got, "Dry Fork 01") {
		t.Errorf("while disconnected the rows are %q, want the party still", got)
	}
	if v.Ask(`String(document.querySelector("#live-lost").getBoundingClientRect().height > 40)`) != "true" {
		t.Error("the note takes no room on the page")
	}
}

func findsLine(t *testing.T, v *chromium.Tab) {
	t.Helper()
	v.Sees("The server was last heard at")
	v.Sees("distress")
	if got := v.Text("#live-lost"); got != "" {
		t.Errorf("connected again, the page still says %q", got)
	}
	if got := v.Text("[data-live]"); strings.Contains(got, " after ") && strings.Contains(got, "min after") {
		t.Errorf("connected again, clocks still stand: %q", got)
	}
}

// Without scripts a page says that it does not update itself.
func TestLivePagesWithoutScripts(t *testing.T) {
	t.Parallel()
	l := sitetest.NewLookout(t)
	l.Overdue(-30 * time.Minute)
	v := l.Pages(time.Now).SignIn(t, sitetest.Coordinator)
	for _, path := range []string{"/board", "/board/wall", "/hikes/1/watch"} {
		doc := v.Get(path).Want(http.StatusOK)
		if !strings.Contains(string(doc.Body), "does not update itself") {
			t.Errorf("%s does not say that it does not update itself", path)
		}
	}
}

// The sound is off until somebody turns it on, and sounds for a graver phase.
func TestBoardSound(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	l := sitetest.NewLookout(t)
	h := l.Overdue(-30 * time.Minute)
	v := chromium.Open(t, l.Pages(time.Now).URL, chromium.Desk)
	v.SignIn(sitetest.Coordinator)
	v.Go("/board")
	v.Sees("The server was last heard at")
	const played = `document.querySelector("#sound").dataset.played ?? ""`
	if got := v.Ask(`document.querySelector("#sound-button").ariaPressed`) + v.Ask(played); got != "false" {
		t.Fatalf("before a press the sound is %q, want off", got)
	}
	v.Click("#sound-button")
	v.Sees("This browser sounds for a new alarm")
	l.Record(h, party.KindReported, time.Now(), func(e *party.Event) { e.Trouble, e.Note = true, "a fall" })
	v.Sees("distress")
	if !chromium.Await(5*time.Second, func() bool { return v.Ask(played) == "2" }) {
		t.Errorf("it sounded %q times, want 2: the try and the alarm", v.Ask(played))
	}
	v.Go("/board")
	v.Sees("browsers wait for a press")
	v.Click("#sound-button")
	v.Sees("Turn on sound for alarms")
}

// The wall shows the rows of the board in large type, is kept up to date, and is dark by night.
func TestWall(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	for _, at := range []struct {
		hour string
		dark bool
	}{{"20:59", false}, {"21:00", true}, {"05:59", true}, {"06:00", false}} {
		t.Run(at.hour, func(t *testing.T) {
			t.Parallel()
			l := sitetest.NewLookout(t)
			start, err := time.Parse("2006-01-02 15:04", "2026-05-10 "+at.hour)
			if err != nil {
				t.Fatal(err)
			}
			clock := sitetest.NewClock(start)
			for n := range 8 {
				h := l.Post(n+1, start.Add(-time.Duration(n+1)*50*time.Minute))
				l.Depart(h, h.Start)
			}
			v := chromium.Open(t, l.Pages(clock.Now).URL, chromium.Screen{Name: "wall", Width: 1920, Height: 1080})
			v.SignIn(sitetest.Coordinator)
			v.Open("/board/wall")
			v.Sees("The server was last heard at")
			v.Sees("more below")
			dark := v.Ask(`String(document.documentElement.classList.contains("Wall-dark"))`)
			if want := fmt.Sprint(at.dark); dark != want {
				t.Errorf("at %s the wall is dark: %s, want %s", at.hour, dark, want)
			}
			v.Look()
		})
	}
}

// The longest word for a phase has room beside the name of the trail, in wide fonts too.
func TestPhaseHasRoom(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	const covers = `(() => {
		for (const row of document.querySelectorAll(".Board-party")) {
			const stamp = row.querySelector(".Stamp").getBoundingClientRect()
			const name = row.querySelector(".Board-trail a").getBoundingClientRect()
			const next = row.querySelector(".Board-trail").getBoundingClientRect()
			if (stamp.right > next.left && stamp.bottom > name.top && stamp.top < name.bottom) return row.innerText
		}
		return ""
	})()`
	for _, width := range []int64{390, 960, 1280, 1920} {
		for _, state := range []string{"board", "wall"} {
			t.Run(fmt.Sprint(state, width), func(t *testing.T) {
				t.Parallel()
				v := chromium.Open(t, states().URL, chromium.Screen{Name: "any", Width: width, Height: 900})
				v.Open("/_pages/" + state)
				if got := v.Ask(covers); got != "" {
					t.Errorf("the stamp covers the trail in %q", got)
				}
				if got := v.AskInWideFonts(covers); got != "" {
					t.Errorf("in wide fonts the stamp covers the trail in %q", got)
				}
			})
		}
	}
}
