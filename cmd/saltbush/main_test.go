package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
)

// asProgram makes the test binary be the program itself, so that a test can kill it.
const asProgram = "SALTBUSH_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
		return
	}
	// Sites and the tests' own connections seal medical cards with one key, and no test
	// makes a file for it outside of its folders.
	os.Setenv("SALTBUSH_CARD_KEY", card.NewKey().Reveal())
	os.Exit(pgtest.Main(m))
}

// output collects what the program prints while it runs.
type output struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.Write(p)
}

func (o *output) String() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.String()
}

// await returns the first match of the pattern's group in the output.
func (o *output) await(t testing.TB, pattern string) string {
	t.Helper()
	re := regexp.MustCompile(pattern)
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if m := re.FindStringSubmatch(o.String()); m != nil {
			return m[1]
		}
	}
	t.Fatalf("the program did not print %q in 30 s; it printed:\n%s", pattern, o)
	return ""
}

// program is the program running in this process on a database of its own.
type program struct {
	base string
	out  *output
}

// serve starts the program with the arguments and stops it when the test ends.
func serve(t testing.TB, args ...string) program {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	p := program{out: &output{}}
	ended := make(chan error, 1)
	go func() {
		ended <- run(ctx, append(args, "--listen", "127.0.0.1:0"), func(string) string { return "" }, p.out, p.out)
	}()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Errorf("the program ended with: %v", err)
		}
	})
	p.base = p.out.await(t, `(http://127\.0\.0\.1:\d+)`)
	return p
}

// withCardKey gives a connection of a test the key that sites have.
func withCardKey(ctx context.Context, db *postgres.DB) error {
	key, err := card.ParseKey(os.Getenv("SALTBUSH_CARD_KEY"))
	if err != nil {
		return err
	}
	return db.TakeCardKey(ctx, key, false, time.Now())
}

func noMigration(context.Context, string) error { return nil }

// serveEmpty starts a new installation.
func serveEmpty(t testing.TB) program {
	return serve(t, "serve", "--database-url", pgtest.Database(t, noMigration))
}

// root is the folder of go.mod.
func root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for ; dir != "/"; dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
	}
	t.Fatal("no go.mod above the test")
	return ""
}

// sharedTracks lists the real tracks beside the repository, or skips.
func sharedTracks(t testing.TB) []string {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(root(t), "../shared/data/tracks/*.gpx"))
	if len(files) == 0 {
		t.Skip("no folder ../shared/data/tracks beside the repository")
	}
	return files
}

// command runs the program once and returns what it printed.
func command(t testing.TB, args ...string) (string, error) {
	t.Helper()
	var out output
	err := run(context.Background(), args, func(string) string { return "" }, &out, &out)
	return out.String(), err
}

func trackName(file string) string {
	return strings.TrimSuffix(filepath.Base(file), ".gpx")
}

// writeTrack makes an invented out-and-back track with heights and two waypoints.
func writeTrack(t testing.TB) string {
	t.Helper()
	var b strings.Builder
	b.WriteString(`<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">`)
	fmt.Fprintf(&b, `<wpt lat="33.4" lon="-112"><name>Cinder Gate trailhead</name></wpt><wpt lat="33.41" lon="-112"><name>Notch Junction</name></wpt>`)
	b.WriteString(`<trk><name>Cinder Wash</name><trkseg>`)
	for i := range 400 {
		fmt.Fprintf(&b, `<trkpt lat="%.5f" lon="%.5f"><ele>%.1f</ele></trkpt>`, 33.4+float64(i)*0.0001, -112+0.00002*float64(i%7), 500+float64(i)*0.6)
	}
	b.WriteString(`</trkseg></trk></gpx>`)
	file := filepath.Join(t.TempDir(), "cinder-wash.gpx")
	if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}
