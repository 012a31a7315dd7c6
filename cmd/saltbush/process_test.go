package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"saltbush/internal/party"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/site"
	"saltbush/internal/site/sitetest"
)

// demoPassword is that of every account of the demo, which prints it.
const demoPassword = "dry-wash-lantern"

// Acknowledged records of the roll survive kill -9 of the program, whose database is private.
func TestKilledDuringARollLosesNothing(t *testing.T) {
	t.Parallel()
	needsPrograms(t)
	data := filepath.Join(pgtest.Folder(t), "demo")
	p := startDemo(t, data)
	kept := p.recordUntilKilled(t)
	if len(kept) == 0 {
		t.Fatal("nothing was acknowledged before the kill")
	}
	startDemo(t, data)
	stored := storedEvents(t, data)
	for _, id := range kept {
		if !stored[id] {
			t.Errorf("record %s was acknowledged and is gone", id)
		}
	}
	t.Logf("%d records were acknowledged before the kill", len(kept))
}

func startDemo(t *testing.T, data string) process {
	t.Helper()
	p := startProcess(t, "demo", "--data", data)
	p.out.await(t, "("+demoPassword+")")
	return p
}

// coordinator signs in to the demo.
func (p process) coordinator(t *testing.T) *sitetest.Visitor {
	t.Helper()
	email := regexp.MustCompile(`coordinator\s+(\S+@\S+)`).FindStringSubmatch(p.out.String())[1]
	v := sitetest.NewVisitor(t, p.base)
	v.Post("/sign-in", url.Values{"email": {email}, "password": {demoPassword}}).Want(http.StatusSeeOther)
	return v
}

// recordUntilKilled sends one record after another to a hike that is out, kills the program
// in the middle, and returns the ids that were acknowledged.
func (p process) recordUntilKilled(t *testing.T) (kept []string) {
	t.Helper()
	v := p.coordinator(t)
	board := v.Get("/board").Want(http.StatusOK)
	hikePath := regexp.MustCompile(`/hikes/\d+`).FindString(board.Body)
	if hikePath == "" {
		t.Fatalf("nobody is out on the demo's board: %s", board.Text("main"))
	}
	time.AfterFunc(time.Second, func() { _ = p.cmd.Process.Kill() })
	for {
		id := uuid.NewString()
		e := party.Event{ID: party.EventID(id), Kind: party.KindReported, At: time.Now(), By: "test", Note: "all well"}
		body, err := json.Marshal(map[string]any{"events": []party.Event{e}})
		if err != nil {
			t.Fatal(err)
		}
		res, err := v.Client().Post(p.base+hikePath+"/roll/events", "application/json", bytes.NewReader(body))
		if err != nil {
			return kept
		}
		answer, err := io.ReadAll(res.Body)
		res.Body.Close()
		if err == nil && res.StatusCode == http.StatusOK && strings.Contains(string(answer), id) {
			kept = append(kept, id)
		}
	}
}

// storedEvents reads the ids of all records from the private database in a folder.
func storedEvents(t *testing.T, data string) map[string]bool {
	t.Helper()
	socket, err := os.ReadFile(filepath.Join(data, "postgres", "socket"))
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	host := strings.TrimSpace(string(socket))
	conn,
		err := pgx.Connect(ctx, fmt.Sprintf("host=%s user=saltbush dbname=%s sslmode=disable", host, site.DatabaseName))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	rows, _ := conn.Query(ctx, `SELECT id::text FROM roll_events`)
	ids, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]bool{}
	for _, id := range ids {
		all[id] = true
	}
	return all
}

// A huge or hostile upload is refused in bounded memory, and the server stays up.
func TestHostileUploadsCostNoMemory(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a process")
	}
	if runtime.GOOS != "linux" {
		t.Skip("memory is read from /proc")
	}
	p := startProcess(t, "serve", "--database-url", pgtest.Migrated(t, sitetest.Staffed))
	v := sitetest.NewVisitor(t, p.base)
	signIn := url.Values{"email": {sitetest.Coordinator}, "password": {sitetest.Password}}
	v.Post("/sign-in", signIn).Want(http.StatusSeeOther)
	if status, page := uploadTrack(t, v, p.base, largeTrack()); status != http.StatusSeeOther {
		t.Fatalf("a large track: status %d\n%s", status, page)
	}
	const track = `<?xml version="1.0"?>` +
		`<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>`
	const point = `<trkpt lat="33.4" lon="-112"><ele>500</ele></trkpt>`
	const doctype = `<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><gpx>`
	for _, tt := range []struct {
		name, head, repeat string
		size               int64
		want               string
	}{
		{"100 MB of points", track, point, 100 << 20, "larger than|points"},
		{"100 MB in one attribute", track + `<trkpt lat="`, "3", 100 << 20, "larger than|line"},
		{"100 MB of nothing", "", " ", 100 << 20, "larger than|line"},
		{"entity expansion", doctype, "&b;", 1 << 10, "DOCTYPE|line"},
		{"deep nesting", track, "<a>", 1 << 20, "deep|line"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			before := p.peakMemory(t)
			file := io.MultiReader(strings.NewReader(tt.head), io.LimitReader(&repeated{text: tt.repeat}, tt.size))
			status, page := uploadTrack(t, v, p.base, file)
			if status != http.StatusUnprocessableEntity || !regexp.MustCompile(tt.want).MatchString(page) {
				t.Errorf("status %d, want 422 and words like %q", status, tt.want)
			}
			grown := p.peakMemory(t) - before
			t.Logf("peak memory grew by %d KiB", grown)
			if grown > 64<<10 {
				t.Errorf("peak memory grew by %d KiB, want under 64 MiB", grown)
			}
		})
	}
	v.Get("/trails").Want(http.StatusOK)
}

// largeTrack is near the limit of 250,000 points. What it takes, the process may take again.
func largeTrack() io.Reader {
	var b bytes.Buffer
	b.WriteString(`<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">` +
		`<trk><trkseg>`)
	for i := range 240_000 {
		fmt.Fprintf(&b, `<trkpt lat="%.6f" lon="-112"><ele>500</ele></trkpt>`, 33.4+float64(i)*1e-6)
	}
	b.WriteString(`</trkseg></trk></gpx>`)
	return &b
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

// uploadTrack sends a track as the form for a new trail does, streaming.
func uploadTrack(t testing.TB, v *sitetest.Visitor, base string, gpx io.Reader) (status int, page string) {
	t.Helper()
	in, out := io.Pipe()
	form := multipart.NewWriter(out)
	go func() {
		for name, value := range map[string]string{
			"name": "Spoiled", "zone": "America/Phoenix", "surface": "firm", "shape": "out-and-back",
		} {
			_ = form.WriteField(name, value) // the reader may have hung up
		}
		part, _ := form.CreateFormFile("file", "track.gpx")
		_, err := io.Copy(part, gpx)
		_ = form.Close()
		out.CloseWithError(err)
	}()
	res, err := v.Client().Post(base+"/trails", form.FormDataContentType(), in)
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
