package main

import (
	"context"
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"saltbush/internal/signup"
)

func TestHoldIsSetAndLiftedWithAReason(t *testing.T) {
	ctx := context.Background()
	p := serveStaffed(t)
	if _, err := p.db.Pool().Exec(ctx, `UPDATE hikes SET meet = meet - interval '30 days', start = start - interval '30 days', state = 'closed', closed = now() - interval '27 days'`); err != nil {
		t.Fatal(err)
	}
	c := p.signIn(t, "safety@example.org")
	if page := mustAnswer(t, c, p.base+"/retention", http.StatusOK); !strings.Contains(page, "Dry Fork at dawn") {
		t.Error("the page does not name the hike")
	}
	if status, page := p.post(t, c, "/retention/hold", url.Values{"hike": {"1"}, "because": {" "}}); status != http.StatusUnprocessableEntity || !strings.Contains(page, "Write why nothing of this hike may be deleted") {
		t.Errorf("without a reason: status %d", status)
	}
	if status, _ := p.post(t, c, "/retention/hold", url.Values{"hike": {"1"}, "because": {"a claim of May"}}); status != http.StatusSeeOther {
		t.Errorf("with a reason: status %d", status)
	}
	if page := mustAnswer(t, c, p.base+"/retention", http.StatusOK); !strings.Contains(page, "a claim of May") || !strings.Contains(page, "Teo Marsh") {
		t.Error("the hold does not stand on the page")
	}
	if status, page := p.post(t, c, "/retention/lift", url.Values{"hike": {"1"}, "lift": {""}}); status != http.StatusUnprocessableEntity || !strings.Contains(page, "Write why this hold may end") {
		t.Errorf("lifted without a reason: status %d", status)
	}
	if status, _ := p.post(t, c, "/retention/lift", url.Values{"hike": {"1"}, "lift": {"settled in June"}}); status != http.StatusSeeOther {
		t.Errorf("lifted: status %d", status)
	}
	log := mustAnswer(t, c, p.base+"/log", http.StatusOK)
	for _, want := range []string{"hold set", "hold lifted", "settled in June", "roles"} {
		if !strings.Contains(log, want) {
			t.Errorf("the log does not say %q", want)
		}
	}
}

func TestPersonTakesAndDeletesTheirData(t *testing.T) {
	ctx := context.Background()
	p := serveStaffed(t)
	path, c := heldPlace(t, p, "amaya@example.org"), client(t)
	page := mustAnswer(t, c, p.base+path+"/data", http.StatusOK)
	for _, want := range []string{"Amaya Reyes", "555 0101 555", "amaya@example.org", "your place is given back"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	var file struct {
		Name        string            `json:"name"`
		ContactName string            `json:"contact_name"`
		Kept        map[string]string `json:"kept_until"`
	}
	if err := json.Unmarshal([]byte(mustAnswer(t, c, p.base+path+"/data.json", http.StatusOK)), &file); err != nil || file.Name != "Amaya Reyes" || file.ContactName != "Teo Reyes" || len(file.Kept) == 0 {
		t.Errorf("file %+v, %v", file, err)
	}
	if status, page := p.post(t, c, path+"/data", url.Values{}); status != http.StatusUnprocessableEntity || !strings.Contains(page, "Tick this box") {
		t.Errorf("without the tick: status %d", status)
	}
	if err := p.db.HoldHike(ctx, 1, "a claim", "Juniper Vale", time.Now()); err != nil {
		t.Fatal(err)
	}
	if status, page := p.post(t, c, path+"/data", url.Values{"sure": {"yes"}}); status != http.StatusConflict || !strings.Contains(page, "A legal hold stands") {
		t.Errorf("under a hold: status %d", status)
	}
	if list, err := p.db.SignUps(ctx, 1); err != nil || len(list) != 1 || list[0].State != signup.Confirmed {
		t.Errorf("under a hold the place is %+v, %v", list, err)
	}
	if err := p.db.LiftHold(ctx, 1, "settled", "Juniper Vale", time.Now()); err != nil {
		t.Fatal(err)
	}
	if status, page := p.post(t, c, path+"/data", url.Values{"sure": {"yes"}}); status != http.StatusOK || !strings.Contains(page, "It is deleted") {
		t.Errorf("deleted: status %d", status)
	}
	if list, err := p.db.SignUps(ctx, 1); err != nil || len(list) != 0 {
		t.Errorf("left %+v, %v", list, err)
	}
	mustAnswer(t, c, p.base+path, http.StatusNotFound)
}

// The pages stand on a phone and on a desk, whatever is in them.
func TestKeptPagesInABrowser(t *testing.T) {
	for _, size := range screens() {
		t.Run(size.name, func(t *testing.T) {
			p := serveStaffed(t)
			path := heldPlace(t, p, "amaya@example.org")
			v := browser(t, p.base, size)
			v.open(path + "/data")
			v.sees("What is kept of you")
			v.look()
			ctx := context.Background()
			if _, err := p.db.Pool().Exec(ctx, `UPDATE hikes SET meet = meet - interval '30 days', start = start - interval '30 days', state = 'closed', closed = now() - interval '27 days'`); err != nil {
				t.Fatal(err)
			}
			if err := p.db.HoldHike(ctx, 1, "somebody was hurt", "Juniper Vale", time.Now()); err != nil {
				t.Fatal(err)
			}
			v.enters("coordinator@example.org")
			v.open("/retention")
			v.sees("What goes when")
			v.look()
			v.open("/log")
			v.look()
		})
	}
}
