package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/roll"
	"saltbush/internal/site"
)

// process is the program as a process of its own.
type process struct {
	program
	cmd *exec.Cmd
}

func startProcess(t testing.TB, args ...string) process {
	t.Helper()
	p := process{program{out: &output{}}, exec.Command(os.Args[0], args...)}
	p.cmd.Env = append(os.Environ(), asProgram+"=1")
	p.cmd.Stdout, p.cmd.Stderr = p.out, p.out
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = p.cmd.Process.Signal(syscall.SIGTERM)
		_ = p.cmd.Wait()
	})
	p.base = p.out.await(t, `(http://127\.0\.0\.1:\d+)`)
	return p
}

// Acknowledged records of the roll survive kill -9 of the program.
func TestKilledDuringARollLosesNothing(t *testing.T) {
	data := filepath.Join(pgtest.Folder(t), "demo")
	p := startProcess(t, "demo", "--listen", "127.0.0.1:0", "--data", data)
	p.out.await(t, `(dry-wash-lantern)`)
	hikePath := p.outNow(t)
	kept := p.recordUntilKilled(t, hikePath)
	if len(kept) == 0 {
		t.Fatal("nothing was acknowledged before the kill")
	}
	again := startProcess(t, "demo", "--listen", "127.0.0.1:0", "--data", data)
	stored := again.storedEvents(t, data)
	for _, id := range kept {
		if !stored[id] {
			t.Errorf("record %s was acknowledged and is gone", id)
		}
	}
	t.Logf("%d records acknowledged before the kill, all there after the restart", len(kept))
}

// outNow finds a hike that is out, on the board.
func (p process) outNow(t *testing.T) string {
	t.Helper()
	res, err := p.demoClient(t).Get(p.base + "/board")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	page, _ := io.ReadAll(res.Body)
	path := regexp.MustCompile(`/hikes/\d+`).FindString(string(page))
	if path == "" {
		t.Fatalf("nobody is out on the demo's board:\n%s", page)
	}
	return path
}

func (p process) demoClient(t *testing.T) *http.Client {
	t.Helper()
	c := client(t)
	email := regexp.MustCompile(`coordinator\s+(\S+@\S+)`).FindStringSubmatch(p.out.String())[1]
	res, err := c.PostForm(p.base+"/sign-in", map[string][]string{"email": {email}, "password": {"dry-wash-lantern"}})
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	return c
}

// recordUntilKilled sends one record after another, kills the program in the middle, and
// returns the ids that were acknowledged.
func (p process) recordUntilKilled(t *testing.T, hikePath string) []string {
	t.Helper()
	c := p.demoClient(t)
	time.AfterFunc(1500*time.Millisecond, func() { _ = p.cmd.Process.Kill() })
	var kept []string
	for {
		e := roll.Event{ID: roll.EventID(uuid.NewString()), Kind: roll.KindReported, At: time.Now(), By: "test", Note: "all well"}
		body, _ := json.Marshal(map[string]any{"events": []roll.Event{e}})
		res, err := c.Post(p.base+hikePath+"/roll/events", "application/json", bytes.NewReader(body))
		if err != nil {
			return kept
		}
		answer, err := io.ReadAll(res.Body)
		res.Body.Close()
		if err == nil && res.StatusCode == http.StatusOK && strings.Contains(string(answer), string(e.ID)) {
			kept = append(kept, string(e.ID))
		}
	}
}

// storedEvents reads the ids of all records from the database on disk.
func (p process) storedEvents(t *testing.T, data string) map[string]bool {
	t.Helper()
	p.out.await(t, `(dry-wash-lantern)`)
	socket, err := os.ReadFile(filepath.Join(data, "postgres", "socket"))
	if err != nil {
		t.Fatal(err)
	}
	return eventIDs(t, fmt.Sprintf("host=%s user=saltbush dbname=%s sslmode=disable", strings.TrimSpace(string(socket)), site.DatabaseName))
}

// A huge or hostile upload is refused in bounded memory, and the server stays up.
func TestHostileUploadsCostNoMemory(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("memory is read from /proc")
	}
	data := filepath.Join(pgtest.Folder(t), "demo")
	p := startProcess(t, "demo", "--listen", "127.0.0.1:0", "--data", data)
	p.out.await(t, `(dry-wash-lantern)`)
	c := p.demoClient(t)
	const track = `<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>`
	const point = `<trkpt lat="33.4" lon="-112"><ele>500</ele></trkpt>`
	for _, h := range []struct {
		name, head, repeat string
		size               int64
		want               string
	}{
		{"100 MB of points", track, point, 100 << 20, "larger than|points"},
		{"100 MB in one attribute", track + `<trkpt lat="`, "3", 100 << 20, "larger than|line"},
		{"100 MB of nothing", "", " ", 100 << 20, "larger than|line"},
		{"entity expansion", `<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><gpx>`, "&b;", 1 << 10, "DOCTYPE|line"},
		{"deep nesting", track, "<a>", 1 << 20, "deep|line"},
	} {
		t.Run(h.name, func(t *testing.T) {
			before := p.peakMemory(t)
			status, page := upload(t, c, p.base, io.MultiReader(strings.NewReader(h.head), io.LimitReader(&repeated{text: h.repeat}, h.size)))
			if status != http.StatusUnprocessableEntity || !regexp.MustCompile(h.want).MatchString(page) {
				t.Errorf("status %d, want 422 and words like %q", status, h.want)
			}
			grown := p.peakMemory(t) - before
			t.Logf("peak memory grew by %d KiB", grown)
			if grown > 64<<10 {
				t.Errorf("peak memory grew by %d KiB, want under 64 MiB", grown)
			}
		})
	}
	if res, err := c.Get(p.base + "/trails"); err != nil || res.StatusCode != http.StatusOK {
		t.Errorf("the server is not up any more: %v", err)
	}
}

// repeated reads the same text for ever.
type repeated struct {
	text string
	at   int
}

func (r *repeated) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = r.text[r.at]
		r.at = (r.at + 1) % len(r.text)
	}
	return len(b), nil
}

// upload sends a track as the form for a new trail does, streaming.
func upload(t testing.TB, c *http.Client, base string, gpx io.Reader) (status int, page string) {
	t.Helper()
	in, out := io.Pipe()
	form := multipart.NewWriter(out)
	go func() {
		for name, value := range map[string]string{"name": "Spoiled", "zone": "America/Phoenix", "surface": "firm", "shape": "out-and-back"} {
			_ = form.WriteField(name, value)
		}
		part, _ := form.CreateFormFile("file", "track.gpx")
		_, err := io.Copy(part, gpx)
		_ = form.Close()
		out.CloseWithError(err)
	}()
	res, err := c.Post(base+"/trails", form.FormDataContentType(), in)
	in.CloseWithError(io.ErrClosedPipe)
	if err != nil {
		t.Fatalf("upload: %v", err)
	}
	defer res.Body.Close()
	b, _ := io.ReadAll(res.Body)
	return res.StatusCode, string(b)
}

// peakMemory is the most resident memory that the process has had, in KiB.
func (p process) peakMemory(t *testing.T) int {
	t.Helper()
	b, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(b)
	n, _ := strconv.Atoi(string(m[1]))
	return n
}
