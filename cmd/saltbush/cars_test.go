package main

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/PuerkitoBio/goquery"
	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// shuttled is the site with a posted one-way hike: number 2, two days ahead, led by Ash
// Moreno.
type shuttled struct {
	staffed
	t    *testing.T
	h    hike.Hike
	link map[string]string // the private pages by name
}

func newShuttled(t *testing.T) *shuttled {
	t.Helper()
	x := &shuttled{staffed: serveStaffed(t), t: t, link: map[string]string{}}
	var fixes []track.Fix
	for i := range 200 {
		fixes = append(fixes, track.Fix{At: unit.At(33.4+float64(i)*1e-4, -112), Elevation: unit.Length(600 + i), HasElevation: true})
	}
	profile, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OneWay)
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	tr := trail.Trail{Name: "Long Fork", Zone: "America/Phoenix", Surface: walk.Firm, Profile: profile, Created: time.Now(),
		Points: []trail.Point{{Kind: trail.Goal, Name: "Far gate", Along: profile.Length}}}
	if tr.ID, err = x.db.AddTrail(ctx, tr, []byte("<gpx/>")); err != nil {
		t.Fatal(err)
	}
	first, err := x.db.Hike(ctx, 1)
	if err != nil {
		t.Fatal(err)
	}
	x.h = hike.Hike{Trail: tr.ID, Title: "Long Fork through", Meet: first.Meet, Start: first.Start, Places: 8, Pace: walk.Ordinary, State: hike.Posted,
		Created: time.Now(), Staff: []team.Staff{{Person: uuid.NewString(), Account: first.Staff[0].Account, Role: team.Leader}}}
	if x.h.ID, err = x.db.AddHike(ctx, x.h); err != nil {
		t.Fatal(err)
	}
	return x
}

// walker stores a confirmed place.
func (x *shuttled) walker(name, plate string, seats int) {
	x.t.Helper()
	secret, hash := newSecret(x.t)
	p := signup.SignUp{ID: uuid.NewString(), Hike: x.h.ID, Name: name, Email: strings.ToLower(strings.Fields(name)[0]) + "@example.org",
		Mobile: "602 555 01" + fmt.Sprintf("%02d", 10+len(x.link)), Asked: time.Now(), Link: hash[:], Car: signup.Car{Plate: plate, Seats: seats}}
	if _, err := x.db.SignUp(context.Background(), p, time.Now()); err != nil {
		x.t.Fatal(err)
	}
	x.link[name] = "/place/" + secret.Reveal()
}

func (x *shuttled) read(c *http.Client, path string) string {
	x.t.Helper()
	res, err := c.Get(x.base + path)
	if err != nil {
		x.t.Fatal(err)
	}
	defer res.Body.Close()
	page, err := goquery.NewDocumentFromReader(res.Body)
	if err != nil || res.StatusCode != http.StatusOK {
		x.t.Fatalf("GET %s: %d, %v", path, res.StatusCode, err)
	}
	return strings.Join(strings.Fields(page.Find("main").Text()), " ")
}

func (x *shuttled) send(c *http.Client, path string, form url.Values, want int) {
	x.t.Helper()
	res, err := c.PostForm(x.base+path, form)
	if err != nil {
		x.t.Fatal(err)
	}
	res.Body.Close()
	if res.StatusCode != want {
		x.t.Fatalf("POST %s: status %d, want %d", path, res.StatusCode, want)
	}
}

func (x *shuttled) shows(page string, texts ...string) {
	x.t.Helper()
	for _, text := range texts {
		if !strings.Contains(page, text) {
			x.t.Errorf("the page does not say %q: %s", text, page)
		}
	}
}

func (x *shuttled) hides(page string, texts ...string) {
	x.t.Helper()
	for _, text := range texts {
		if strings.Contains(page, text) {
			x.t.Errorf("the page says %q: %s", text, page)
		}
	}
}

// carMails are the letters about cars, by who got them.
func (x *shuttled) carMails() map[string][]message.Mail {
	x.t.Helper()
	list, err := x.db.Outbox().Recent(context.Background(), 200)
	if err != nil {
		x.t.Fatal(err)
	}
	of := map[string][]message.Mail{}
	for _, m := range list {
		if strings.HasPrefix(m.Key, "cars/") {
			of[m.To] = append(of[m.To], m)
		}
	}
	return of
}

func car(plate string, seats int, town string) url.Values {
	v := url.Values{"plate": {plate}, "car_seats": {fmt.Sprint(seats)}}
	if town != "" {
		v.Set("ride_share", "yes")
		v.Set("ride_town", town)
	}
	return v
}

// The leader settles the shuttle and tells it; two say yes to knowing each other, one takes
// it back; a driver withdraws and those touched are written to.
func TestCarsOfAHikeFromTheLeaderToThePlaces(t *testing.T) {
	x := newShuttled(t)
	leader, any := x.signIn(t, "leads@example.org"), client(t)
	x.walker("Amaya Reyes", "DRY 204", 4)
	x.walker("Bo Dunn", "SLT 118", 2)
	x.walker("Cleo Holt", "", 0)
	cars := fmt.Sprintf("/hikes/%d/cars", x.h.ID)

	page := x.read(leader, cars)
	x.shows(page, "Cars at the end", "Far gate", "Amaya Reyes", "back: Bo Dunn, Ash Moreno and Cleo Holt", "to the start: Amaya Reyes", "Nobody was told yet")
	x.hides(page, "DRY 204", "SLT 118", "602 555 0110") // two days ahead the table keeps them from a leader
	x.hides(x.read(any, x.link["Amaya Reyes"]), "Bring your car")
	x.send(leader, cars+"/tell", nil, http.StatusConflict)
	x.send(leader, cars+"/shuttle", url.Values{"end_lot": {"Far gate"}, "drive_minutes": {"soon"}}, http.StatusUnprocessableEntity)
	x.send(leader, cars+"/shuttle", url.Values{"end_lot": {"Far gate"}, "drive_minutes": {"25"}}, http.StatusSeeOther)
	x.send(leader, cars+"/tell", nil, http.StatusSeeOther)

	mails := x.carMails()
	for _, to := range []string{"amaya@example.org", "bo@example.org", "cleo@example.org", "leads@example.org"} {
		if len(mails[to]) != 1 {
			t.Fatalf("%d letters to %s, want one", len(mails[to]), to)
		}
		for _, name := range []string{"Amaya", "Bo", "Cleo", "602 555"} {
			if text := strings.ReplaceAll(mails[to][0].Text, "Hello "+name, ""); strings.Contains(text, name) {
				t.Errorf("the letter to %s names %s, who cannot take that back: %s", to, name, text)
			}
		}
	}
	at := x.h.Meet.Add(-35 * time.Minute).In(time.FixedZone("", -7*3600)).Format("15:04")
	page = x.read(any, x.link["Amaya Reyes"])
	x.shows(page, at+"Bring your car to Far gate", "in a car that the leader names there", "Take 3 people to the start")
	x.hides(page, "Bo", "Cleo", "SLT 118", "602 555 0111")

	x.send(any, x.link["Amaya Reyes"]+"/cars", car("DRY 204", 4, ""), http.StatusSeeOther)
	x.send(any, x.link["Bo Dunn"]+"/cars", url.Values{"plate": {"SLT 118"}, "car_seats": {"2"}, "ride_share": {"yes"}}, http.StatusUnprocessableEntity)
	x.send(any, x.link["Bo Dunn"]+"/cars", car("SLT 118", 2, "Dry Mills"), http.StatusSeeOther)
	x.hides(x.read(any, x.link["Bo Dunn"]), "Amaya")
	x.hides(x.read(any, x.link["Amaya Reyes"]), "Bo", "Dry Mills")
	x.send(any, x.link["Amaya Reyes"]+"/cars", car("DRY 204", 4, "Salt Ford"), http.StatusSeeOther)
	page = x.read(any, x.link["Bo Dunn"])
	x.shows(page, "Bring Amaya to the start", "602 555 0110", "Salt Ford")
	x.hides(page, "Reyes", "DRY 204", "amaya@example.org")
	x.shows(x.read(any, x.link["Amaya Reyes"]), "Bo", "602 555 0111", "Dry Mills")
	x.send(any, x.link["Amaya Reyes"]+"/cars", car("DRY 204", 4, ""), http.StatusSeeOther)
	x.hides(x.read(any, x.link["Bo Dunn"]), "Amaya", "602 555 0110", "Salt Ford")
	x.hides(x.read(any, x.link["Amaya Reyes"]), "602 555 0111", "Dry Mills")

	x.send(any, x.link["Bo Dunn"]+"/withdraw", nil, http.StatusSeeOther)
	mails = x.carMails()
	if len(mails["amaya@example.org"]) != 2 || len(mails["cleo@example.org"]) != 2 || len(mails["bo@example.org"]) != 1 {
		t.Errorf("after a driver withdrew: %d to Amaya, %d to Cleo, %d to Bo; want 2, 2, 1", len(mails["amaya@example.org"]), len(mails["cleo@example.org"]), len(mails["bo@example.org"]))
	}
	if !slices.ContainsFunc(mails["cleo@example.org"], func(m message.Mail) bool {
		return strings.Contains(strings.Join(strings.Fields(m.Text), " "), "no seat back to the start for you yet")
	}) {
		t.Errorf("Cleo is not told that the seat is gone: %v", mails["cleo@example.org"])
	}
	x.shows(x.read(leader, cars), "No driver for the way to the start", "seats at the end too few")
	x.send(leader, cars+"/own", car("LEAD 7", 1, ""), http.StatusSeeOther)
	x.hides(x.read(leader, cars), "too few", "No driver")
	x.shows(x.read(leader, cars), "to the start: Amaya Reyes", "Be at Far gate with your car")
	if n := len(x.carMails()["cleo@example.org"]); n != 3 {
		t.Errorf("%d letters to Cleo, want a third that there is a seat again", n)
	}
}

func TestOwnCarIsForStaffOfTheHike(t *testing.T) {
	x := newShuttled(t)
	x.send(x.signIn(t, "coordinator@example.org"), fmt.Sprintf("/hikes/%d/cars/own", x.h.ID), car("C 1", 3, ""), http.StatusConflict)
}

// A box on the form for a place, not ticked by itself.
func TestSharingARideIsSaidOnTheForm(t *testing.T) {
	p := serveStaffed(t)
	c := client(t)
	form := signUpForm(1)
	seal := p.openForm(t, c)
	for _, step := range []struct {
		name, town, share string
		status            int
	}{{"a yes without a town", "", "yes", http.StatusUnprocessableEntity}, {"a yes", "Dry Mills", "yes", http.StatusSeeOther}, {"nothing said", "Dry Mills", "", http.StatusSeeOther}} {
		form.Set("seal", seal)
		form.Set("ride_town", step.town)
		form.Del("ride_share")
		if step.share != "" {
			form.Set("ride_share", step.share)
		}
		form.Set("name", "Walker "+step.name)
		res, err := c.PostForm(p.base+"/hikes/1/sign-up", form)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if res.StatusCode != step.status {
			t.Errorf("%s: status %d, want %d", step.name, res.StatusCode, step.status)
		}
	}
	list, err := p.db.SignUps(context.Background(), 1)
	if err != nil || len(list) != 2 {
		t.Fatalf("%d places, %v; want two", len(list), err)
	}
	book, err := p.db.RideBook(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	if yes, no := book.Sharing[list[0].ID], book.Sharing[list[1].ID]; !yes.Yes() || yes.Town != "Dry Mills" || no.Yes() || no.Town != "" {
		t.Errorf("said yes: %+v, said nothing: %+v", yes, no)
	}
}
