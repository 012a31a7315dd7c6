package assets_test

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"saltbush/assets"
)

func TestPathCarriesHash(t *testing.T) {
	tests := []struct{ name, want string }{
		{"app.css", `^/assets/app\.[0-9a-f]{10}\.css$`},
		{"favicon.svg", `^/assets/favicon\.[0-9a-f]{10}\.svg$`},
		{"board-live.js", `^/assets/board-live\.[0-9a-f]{10}\.js$`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := assets.Path(tt.name); !regexp.MustCompile(tt.want).MatchString(got) {
				t.Errorf("Path(%q) = %q, want a match of %s", tt.name, got, tt.want)
			}
		})
	}
}

func TestPathPanicsOnMisspeltName(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error(`Path("ap.css") did not panic`)
		}
	}()
	assets.Path("ap.css")
}

func TestHandler(t *testing.T) {
	tests := []struct {
		name, url   string
		status      int
		cache, kind string
	}{
		{"hashed sheet is kept for ever", assets.Path("app.css"), 200, "public, max-age=31536000, immutable",
			"text/css; charset=utf-8"},
		{"hashed script", assets.Path("board-live.js"), 200, "public, max-age=31536000, immutable",
			"text/javascript; charset=utf-8"},
		{"plain name is asked for anew", "/assets/favicon.svg", 200, "no-cache", "image/svg+xml"},
		{"program", assets.Path("phone.wasm"), 200, "public, max-age=31536000, immutable", "application/wasm"},
		{"packed file has no name of its own", "/assets/phone.wasm.br", 404, "", "text/plain; charset=utf-8"},
		{"old hash is gone", "/assets/app.0000000000.css", 404, "", "text/plain; charset=utf-8"},
		{"notes are not served", "/assets/README.md", 404, "", "text/plain; charset=utf-8"},
		{"source is not served", "/assets/embed.go", 404, "", "text/plain; charset=utf-8"},
		{"folder is not listed", "/assets/", 404, "", "text/plain; charset=utf-8"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rec := httptest.NewRecorder()
			assets.Handler().ServeHTTP(rec, httptest.NewRequest(http.MethodGet, tt.url, nil))
			if rec.Code != tt.status {
				t.Fatalf("GET %s = %d, want %d", tt.url, rec.Code, tt.status)
			}
			if got := rec.Header().Get("Cache-Control"); got != tt.cache {
				t.Errorf("GET %s Cache-Control = %q, want %q", tt.url, got, tt.cache)
			}
			if got := rec.Header().Get("Content-Type"); got != tt.kind {
				t.Errorf("GET %s Content-Type = %q, want %q", tt.url, got, tt.kind)
			}
		})
	}
}

func TestHandlerAnswersUnchanged(t *testing.T) {
	url := assets.Path("app.css")
	first := httptest.NewRecorder()
	assets.Handler().ServeHTTP(first, httptest.NewRequest(http.MethodGet, url, nil))
	again := httptest.NewRequest(http.MethodGet, url, nil)
	again.Header.Set("If-None-Match", first.Header().Get("ETag"))
	second := httptest.NewRecorder()
	assets.Handler().ServeHTTP(second, again)
	if second.Code != http.StatusNotModified {
		t.Errorf("second GET %s = %d, want 304", url, second.Code)
	}
	if !strings.Contains(first.Body.String(), "@layer reset, tokens, base, layout, components") {
		t.Errorf("GET %s has no layer order", url)
	}
}

func TestProgramIsPackedForThoseWhoUnpack(t *testing.T) {
	for accept, want := range map[string]string{
		"gzip, deflate, br, zstd": "br", "br;q=0.5": "br", "br;q=0": "", "br; q=0.0, gzip": "", "gzip": "", "": "",
	} {
		r := httptest.NewRequest(http.MethodGet, assets.Path("phone.wasm"), nil)
		r.Header.Set("Accept-Encoding", accept)
		rec := httptest.NewRecorder()
		assets.Handler().ServeHTTP(rec, r)
		if got := rec.Header().Get("Content-Encoding"); got != want {
			t.Errorf("Accept-Encoding %q: encoded %q, want %q", accept, got, want)
		}
		if isPlain := strings.HasPrefix(rec.Body.String(), "\x00asm"); isPlain != (want == "") {
			t.Errorf("Accept-Encoding %q: a plain program is %v", accept, isPlain)
		}
		if rec.Header().Get("Vary") != "Accept-Encoding" {
			t.Errorf("Accept-Encoding %q: Vary %q", accept, rec.Header().Get("Vary"))
		}
	}
}
