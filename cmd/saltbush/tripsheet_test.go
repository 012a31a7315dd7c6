package main

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/signup"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// serveTrip is a hike of the day with a forecast, a plan, places on the way and as many
// people as one of staff to eight allows for three.
func serveTrip(t *testing.T) decided {
	t.Helper()
	d := serveDecided(t)
	ctx := context.Background()
	var h hike.Hike
	err := d.db.ChangeHike(ctx, 1, func(x *hike.Hike) error {
		x.Start = time.Now().Add(10 * time.Hour).Truncate(time.Minute).In(x.Start.Location())
		x.Meet = x.Start.Add(-30 * time.Minute)
		x.Forecast = &plan.Forecast{Low: unit.Celsius(18), High: unit.Celsius(31), DewPoint: unit.Celsius(4), Wind: unit.Speed(2.2), Cloud: 0.1}
		h = *x
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	err = d.db.ChangeTrail(ctx, h.Trail, func(t *trail.Trail) error {
		for i, x := range []struct {
			kind trail.PointKind
			name string
		}{{trail.Junction, "Notch Junction"}, {trail.BailOut, "Ranch road gate"}, {trail.Goal, "The saddle"}} {
			t.Points = append(t.Points, trail.Point{Kind: x.kind, Name: x.name, Along: unit.Length(600 * (i + 1)), Note: "marked by a post"})
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for i := range 20 {
		id := uuid.New()
		_, err := d.db.SignUp(ctx, signup.SignUp{ID: id.String(), Hike: 1, Name: fmt.Sprintf("Walker Number %02d", i+1), Email: fmt.Sprintf("w%d@example.org", i), Mobile: "602-555-0131", Water: 4,
			EmergencyName: "Kin of theirs", EmergencyPhone: "602-555-0132", LongestWalk: "Ten.", Car: signup.Car{Plate: fmt.Sprintf("SAND %02d", i)}, Asked: time.Now(), Link: id[:]}, time.Now())
		if err != nil {
			t.Fatal(err)
		}
	}
	tr, err := d.db.Trail(ctx, h.Trail)
	if err != nil {
		t.Fatal(err)
	}
	stored, err := hike.PlanFor(h, tr, "Ash Moreno", time.Now().Add(-3*time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	if err := d.db.SavePlan(ctx, stored); err != nil {
		t.Fatal(err)
	}
	return d
}

func TestTripSheetSaysWhatALeaderNeeds(t *testing.T) {
	d := serveTrip(t)
	if page := d.page(d.c, "/hikes/1/manage"); !strings.Contains(page, `href="/hikes/1/trip-sheet"`) {
		t.Error("the page of the hike has no way to the trip sheet")
	}
	sheet := d.page(d.c, "/hikes/1/trip-sheet")
	for _, want := range []string{"Turn round by", "Watch time", "Call time", "Each carries", "Group reserve", "Notch Junction", "Ways out", "Ranch road gate", "33.4",
		"Ash Moreno", "Ines Calder", "Rosa Lind, 602-555-0113", "Emergency", "Amaya Reyes", "Walker Number 18", "Kin of theirs", "SAND 03", "3 h", "Cautions"} {
		if !strings.Contains(sheet, want) {
			t.Errorf("the trip sheet never says %q", want)
		}
	}
	if strings.Contains(sheet, "Walker Number 19") {
		t.Error("the trip sheet lists who waits for a place")
	}
	early := 40 * time.Hour
	if err := d.db.ChangeHike(context.Background(), 1, func(h *hike.Hike) error { h.Start, h.Meet = h.Start.Add(early), h.Meet.Add(early); return nil }); err != nil {
		t.Fatal(err)
	}
	sheet = d.page(d.c, "/hikes/1/trip-sheet")
	if strings.Contains(sheet, "Kin of theirs") || strings.Contains(sheet, "SAND 03") || !strings.Contains(sheet, "Walker Number 01") || !strings.Contains(sheet, "Print it then") {
		t.Error("days before, the trip sheet has contacts and plates, lacks names, or does not say from when")
	}
	if !strings.Contains(sheet, "The start was moved since") {
		t.Error("the trip sheet does not say that its plan is of another start")
	}
	if res, err := d.signIn(t, "trainer@example.org").Get(d.base + "/hikes/1/trip-sheet"); err != nil || res.StatusCode != http.StatusForbidden {
		t.Errorf("a trainer opens it: %v, %v", res.Status, err)
	}
}

// The trip sheet fits on one page of both papers, and on a phone.
func TestTripSheetInABrowser(t *testing.T) {
	d := serveTrip(t)
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			v := browser(t, d.base, s)
			v.open("/sign-in")
			v.fill("main form", map[string]string{"email": "leads@example.org", "password": samplePassword})
			v.press("main form button")
			v.open("/hikes/1/trip-sheet")
			v.look()
			for name, size := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
				onePage(t, v, name, size)
			}
		})
	}
}

func onePage(t *testing.T, v *visitor, name string, size [2]float64) {
	t.Helper()
	r, err := chromedp.Call(v.ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: size[0], PaperHeight: size[1]})
	if err != nil {
		t.Fatal(err)
	}
	if pages := len(regexp.MustCompile(`/Type\s*/Page\b[^s]`).FindAll(r.Data, -1)); pages != 1 {
		t.Errorf("on %s the trip sheet takes %d pages, want 1", name, pages)
	}
	if dir := os.Getenv("SALTBUSH_SHOTS"); dir != "" {
		file := filepath.Join(dir, v.name+"-trip-sheet-"+name+".pdf")
		if err := os.WriteFile(file, r.Data, 0o644); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command("pdftoppm", "-r", "90", "-png", file, strings.TrimSuffix(file, ".pdf")).CombinedOutput(); err != nil {
			t.Logf("pictures of the print: %v: %s", err, out)
		}
	}
}
