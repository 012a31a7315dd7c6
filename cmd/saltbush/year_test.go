package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"saltbush/internal/fault"
	"saltbush/internal/trail"
)

const warmYear = `month, low, high, dewpoint, wind, cloud, hot_by
Jan, 5C, 19C, -2C, 2m/s, 35%
Mar, 10C, 26C, -1C, 2.6m/s, 30%, 6C
May, 66F, 97F, 32F, 7mph, 15%
Jul, 27C, 41C, 15C, 3m/s, 35%
Oct, 16C, 32C, 5C, 2.2m/s, 15%
`

func TestYearCommand(t *testing.T) {
	normals := filepath.Join(t.TempDir(), "normals.csv")
	if err := os.WriteFile(normals, []byte(warmYear), 0o644); err != nil {
		t.Fatal(err)
	}
	args := func(more ...string) []string {
		return append([]string{"plan", "--gpx", writeTrack(t), "--out-and-back", "--tz", "America/Phoenix", "--participants", "12", "--staff", "2", "--year", normals}, more...)
	}
	for _, c := range []struct {
		name string
		args []string
		want []string
	}{
		{"as text", nil, []string{"May it be led from", "February            not known", "usual day of 19", "house ladder", "not medical advice"}},
		{"as JSON", []string{"--format", "json"}, []string{`"usual_day": "`, `"answer": "may be led"`, `"known": false`, `"hot_day": null`}},
		{"explained", []string{"--explain"}, []string{"months[].starts[].answer", "the graver of the two days"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := command(t, args(c.args...)...)
			for _, want := range c.want {
				if err != nil || !strings.Contains(out, want) {
					t.Fatalf("%q is missing, %v:\n%s", want, err, out)
				}
			}
		})
	}
	t.Run("a bad file is refused by line and column", func(t *testing.T) {
		if err := os.WriteFile(normals, []byte(strings.Replace(warmYear, "41C", "41", 1)), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := command(t, args()...); err == nil || !strings.Contains(err.Error(), "line 5, column high") {
			t.Errorf("got %v", err)
		}
	})
	t.Run("one day still needs its day", func(t *testing.T) {
		_, err := command(t, "plan", "--gpx", writeTrack(t), "--tz", "America/Phoenix", "--dewpoint", "2C")
		if err == nil || !strings.Contains(err.Error(), "missing --date") || !strings.Contains(err.Error(), "missing --high") {
			t.Errorf("got %v", err)
		}
	})
}

// Normals are typed or uploaded; what is wrong comes back as it was, with line and column.
func TestNormalsOnTheTrailPage(t *testing.T) {
	p := serveStaffed(t)
	c := p.signIn(t, "coordinator@example.org")
	send := func(typed, file string) (int, string) {
		t.Helper()
		var body bytes.Buffer
		form := multipart.NewWriter(&body)
		_ = form.WriteField("normals", typed)
		_ = form.WriteField("normals_source", "The weather book")
		if file != "" {
			part, _ := form.CreateFormFile("normals_file", "normals.csv")
			_, _ = io.WriteString(part, file)
		}
		_ = form.Close()
		res, err := c.Post(p.base+"/trails/1/year", form.FormDataContentType(), &body)
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		page, _ := io.ReadAll(res.Body)
		return res.StatusCode, string(page)
	}
	get := func(c *http.Client) string {
		t.Helper()
		res, err := c.Get(p.base + "/trails/1")
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		page, _ := io.ReadAll(res.Body)
		return string(page)
	}
	stored := func() int {
		n, err := p.db.Normals(context.Background(), 1)
		if err != nil && !errors.Is(err, fault.ErrNotFound) {
			t.Fatal(err)
		}
		return len(n.Normals)
	}

	if page := get(c); !strings.Contains(page, "The year is not known") || strings.Contains(page, "YearDrawing") {
		t.Error("a trail without normals does not say that its year is not known")
	}
	bad := strings.Replace(warmYear, "97F", "97", 1)
	for name, send := range map[string]func() (int, string){
		"typed":    func() (int, string) { return send(bad, "") },
		"uploaded": func() (int, string) { return send("", bad) },
	} {
		status, page := send()
		if status != http.StatusUnprocessableEntity || !strings.Contains(page, "Line 4, column high: &#34;97&#34; is not a temperature") || !strings.Contains(page, "May, 66F, 97, 32F") {
			t.Errorf("%s: status %d, the fault or what was typed is missing", name, status)
		}
		if stored() != 0 {
			t.Errorf("%s: bad normals were stored", name)
		}
	}
	if status, _ := send("", warmYear); status != http.StatusSeeOther || stored() != 5 {
		t.Fatalf("uploaded: status %d, %d months stored, want 5", status, stored())
	}
	page := get(c)
	for _, want := range []string{"YearDrawing-letter", "The weather book", "No normals for February, April", "not known"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not hold %q", want)
		}
	}
	if page := get(http.DefaultClient); strings.Contains(page, "YearDrawing") {
		t.Error("the public sees the coordinator's year")
	}
	if status, _ := send(" ", ""); status != http.StatusSeeOther || stored() != 0 {
		t.Errorf("an empty text left %d months, status %d", stored(), status)
	}
}

func TestYearIsSeen(t *testing.T) {
	p := serveStaffed(t)
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, p.base, s)
			v.open("/sign-in")
			v.fill("main form", map[string]string{"email": "coordinator@example.org", "password": samplePassword})
			v.press("main form button[type=submit]")
			v.open("/trails/1")
			v.evaluate(`document.querySelector("form[action$='/year']").closest("details").open = true`)
			v.fill(`form[action$="/year"]`, map[string]string{"normals": "month, low, high"})
			v.press(`form[action$="/year"] button`)
			v.sees("the column wind is missing")
			text, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](`document.querySelector("textarea[name=normals]").value`))
			if err != nil || !strings.HasPrefix(text, "month, low, high") {
				t.Errorf("the typed text came back as %q, %v", text, err)
			}
			v.evaluate(`document.querySelector("textarea[name=normals]").value = ` + "`" + warmYear + "`")
			v.press(`form[action$="/year"] button`)
			v.sees("may be led")
			v.sees("February")
			v.evaluate(`document.querySelector("form[action$='/year']").closest("details").open = false`)
			v.look()
			if err := p.db.SaveNormals(context.Background(), trail.TrailNormals{Trail: 1, Typed: time.Now()}); err != nil {
				t.Fatal(err)
			}
		})
	}
}

// The plan of a hot day under a warning, as staff see it.
func TestPlanUnderAWarningIsSeen(t *testing.T) {
	p := serveStaffed(t)
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, p.base, s)
			v.open("/sign-in")
			v.fill("main form", map[string]string{"email": "coordinator@example.org", "password": samplePassword})
			v.press("main form button[type=submit]")
			v.open("/hikes/1/manage")
			v.fill(`form[action$="/forecast"]`, map[string]string{"low": "19", "high": "34", "dew_point": "2", "wind": "3", "wind_unit": "m/s", "cloud": "10",
				"heat_level": "3", "warning": "in force", "warning_text": "Extreme heat until 20:00", "storm": "20", "air_quality": "105"})
			v.press(`form[action$="/forecast"] button`)
			v.sees("A warning is in force (Extreme heat until 20:00)")
			v.sees("chance of storms or flash floods is 20 %")
			v.sees("3 (major)")
		})
	}
}
