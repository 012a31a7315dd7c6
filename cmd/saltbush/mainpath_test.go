package main

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// The whole life of a hike in a browser: from a GPX track to everyone back.
func TestMainPath(t *testing.T) {
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			p := serveEmpty(t)
			v := browser(t, p.base, s)
			openBook(v, p)
			addTrail(v, writeTrack(t))
			addSweep(v)
			hikePage := schedule(v)
			place := signUp(v, hikePage)
			thereAndBack(v, hikePage)
			v.open(place)
			v.sees("confirmed")
		})
	}
}

// openBook makes the first coordinator by the printed link.
func openBook(v *visitor, p program) {
	v.open(p.out.await(v.t, `(http://\S+/first/\S+)`))
	v.fill("main form", map[string]string{
		"organisation": "Dry Country Walkers", "emergency": "112", "zone": "America/Phoenix",
		"name": "Juniper Vale", "email": "juniper@example.org", "password": "too short",
	})
	v.press("main form button[type=submit]")
	v.sees("use at least 12")
	v.fill("main form", map[string]string{"password": "quiet-lantern-gravel-nine"})
	v.press("main form button[type=submit]")
	v.sees("The book is open")
}

func addTrail(v *visitor, file string) {
	v.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{file}))
	v.fill("main form", map[string]string{
		"zone": "America/Phoenix", "surface": "rocky", "shape": "out-and-back", "summary": "A dry wash with one rocky step.",
		"meeting": "At the cinder gate, 2 km of graded dirt.",
	})
	v.press("main form button[type=submit]")
	v.sees("Cinder Wash is in the catalogue")
	v.sees("Notch Junction")
}

// addSweep adds a second leader, who chooses a password by the invitation.
func addSweep(v *visitor) {
	v.open("/people")
	v.fill("main form", map[string]string{"name": "Ash Moreno", "email": "ash@example.org", "phone": "555 0101 222", "roles": "leader"})
	v.press("main form button[type=submit]")
	v.sees("/invited/")
}

// schedule makes, plans and posts a hike that starts tomorrow, and returns its number.
func schedule(v *visitor) (hikePath string) {
	v.open("/trails/1")
	v.open("/hikes/new?trail=1")
	v.fill("main form", map[string]string{
		"trail": "1", "title": "Cinder Wash at first light", "date": time.Now().Add(30 * time.Hour).Format(time.DateOnly),
		"meet": "06:00", "start": "06:30", "places": "12", "pace": "ordinary", "leader": "1", "sweep": "2",
		"on_call_name": "Oren Vale", "on_call_phone": "555 0101 333",
	})
	v.press("main form button[type=submit]")
	v.sees("The draft is kept")
	hikePath = regexp.MustCompile(`/hikes/\d+`).FindString(v.url())
	v.sees("Ash Moreno has no qualification on record")
	v.open(hikePath + "/staffing")
	v.press("form[action$='/accept'] button")
	v.sees("Their yes is written down")
	v.open(hikePath + "/manage")
	forecast := "form[action$='/forecast']"
	v.fill(forecast, map[string]string{"temperature_unit": "C", "low": "9", "high": "warm", "dew_point": "1", "wind": "7", "wind_unit": "km/h", "cloud": "10"})
	v.press(forecast + " button[type=submit]")
	v.sees("highest temperature")
	v.fill(forecast, map[string]string{"high": "22"})
	v.press(forecast + " button[type=submit]")
	v.sees("plan says go")
	v.press("form[action$='/post'] button")
	v.sees("The hike is posted")
	v.press("form[action$='/decide'] button")
	v.sees("It goes as planned. Decided by Juniper Vale")
	return hikePath
}

// signUp asks for a place as anyone may, and returns the private page.
func signUp(v *visitor, hikePath string) (place string) {
	v.open("/")
	v.sees("Cinder Wash at first light")
	v.open(hikePath)
	v.open(hikePath + "/sign-up")
	opened := time.Now()
	v.press("form.SignupForm button[type=submit]")
	v.sees("another look")
	v.fill("form.SignupForm", map[string]string{
		"name": "Amaya Reyes", "email": "amaya@example.org", "mobile": "602 555 0144", "contact": "Teo Reyes", "contact_tel": "480 555 0155",
		"walk_distance": "80", "walk_climb": "4000", "walk_hours": "3", "walk_ago": "2", "longest": "On rock, fine", "water": "3", "hot_days": "2",
		"hot_before": "yes", "lives_here": "yes", "heat_ill": "no", "health": "no", "shoes": "boots", "age": "adult", "agree": "on",
	})
	time.Sleep(time.Until(opened.Add(3 * time.Second))) // faster than a person can write is sent back
	v.press("form.SignupForm button[type=submit]")
	v.sees("confirmed")
	v.sees("Drink and eat by the clock")
	return v.url()
}

// thereAndBack takes the roll from the trailhead to the end.
func thereAndBack(v *visitor, hikePath string) {
	v.open(hikePath + "/roll")
	v.sees("0 of 3 here")
	for range 3 {
		before := v.text("#roll .Roll-big")
		v.click("#roll button[value=here]")
		v.changes("#roll .Roll-big", before)
	}
	v.sees("3 of 3 here")
	v.tap("#roll button[value=departed]", "The next count should give 3")
	v.fill("#roll form:has([name=leader])", map[string]string{"place": "Notch Junction", "leader": "3", "sweep": "2"})
	v.tap("#roll button[value=counted]", "disagree")
	v.fill("#roll form:has([name=leader])", map[string]string{"place": "Notch Junction", "leader": "3", "sweep": "3"})
	v.tap("#roll button[value=counted]", "Count at Notch Junction")
	v.open("/board")
	v.sees("Cinder Wash")
	v.sees("on time")
	v.open(hikePath + "/manage")
	v.press("form[action$='/close'] button")
	v.sees("Amaya Reyes")
	v.open(hikePath + "/roll?part=back")
	for range 3 {
		left := strings.Count(v.text("#roll"), "last counted")
		v.click("#roll button[value=back]")
		v.fewer("last counted", left)
		v.sees("Everything is sent") // the page is at rest again under the next tap
	}
	v.sees("Everybody is accounted for")
	v.open("/board")
	v.press("form[action$='/stand-down'] button")
	v.sees("stood down")
	v.open(hikePath + "/manage")
	v.press("form[action$='/close'] button")
	v.sees("The hike is closed")
}

func (v *visitor) changes(selector, before string) {
	v.t.Helper()
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if v.text(selector) != before {
			return
		}
	}
	v.t.Fatalf("%s: %s still says %q\npage: %s", v.name, selector, before, v.where())
}

func (v *visitor) fewer(text string, than int) {
	v.t.Helper()
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if strings.Count(v.text("#roll"), text) < than {
			return
		}
	}
	v.t.Fatalf("%s: the roll still says %q %d times\npage: %s", v.name, text, than, v.where())
}
