package browsertest

import (
	"context"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"saltbush/internal/site/sitetest"
	"saltbush/internal/site/sitetest/chromium"
)

// The whole life of a hike in a browser: from a GPX track to everybody back.
func TestMainPath(t *testing.T) {
	chromium.Needs(t)
	t.Parallel()
	onSite(t, sitetest.Empty, func(t *testing.T, s *sitetest.Site, v *chromium.Tab) {
		link, err := s.FirstCoordinator(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		makeFirstCoordinator(v, link)
		addTrail(v, sitetest.TrackFile(t))
		addSweep(v)
		hikePath := schedule(v)
		place := signUp(v, hikePath)
		thereAndBack(v, hikePath)
		v.Open(place)
		v.Sees("confirmed")
	})
}

func makeFirstCoordinator(v *chromium.Tab, link string) {
	v.Open(link)
	v.Fill("main form", map[string]string{
		"organisation": "Dry Country Walkers", "emergency": "112", "zone": "America/Phoenix",
		"name": "Juniper Vale", "email": "juniper@example.org", "password": "too short",
	})
	v.Press(submit)
	v.Sees("use at least 12")
	v.Fill("main form", map[string]string{"password": sitetest.Password})
	v.Press(submit)
	v.Sees("The book is open")
}

func addTrail(v *chromium.Tab, file string) {
	v.Do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{file}))
	v.Fill("main form", map[string]string{
		"zone": "America/Phoenix", "surface": "rocky", "shape": "out-and-back",
		"summary": "A dry wash with one rocky step.", "meeting": "At the cinder gate, 2 km of graded dirt.",
	})
	v.Press(submit)
	v.Sees("Cinder Wash is in the catalogue")
	v.Sees("Notch Junction")
}

// addSweep adds a second leader, who is invited.
func addSweep(v *chromium.Tab) {
	v.Open("/people")
	v.Fill("main form", map[string]string{
		"name": "Ash Moreno", "email": "ash@example.org", "phone": "555 0101 222", "roles": "leader",
	})
	v.Press(submit)
	v.Sees("/invited/")
}

// schedule makes, plans and posts a hike that starts tomorrow, and returns its path.
func schedule(v *chromium.Tab) (hikePath string) {
	v.Open("/trails/1")
	v.Open("/hikes/new?trail=1")
	v.Fill("main form", map[string]string{
		"trail": "1", "title": "Cinder Wash at first light",
		"date": time.Now().Add(30 * time.Hour).Format(time.DateOnly),
		"meet": "06:00", "start": "06:30", "places": "12", "pace": "ordinary", "leader": "1", "sweep": "2",
		"on_call_name": "Oren Vale", "on_call_phone": "555 0101 333", "on_call_email": "oren.vale@example.org",
	})
	v.Press(submit)
	v.Sees("The draft is kept")
	hikePath = regexp.MustCompile(`/hikes/\d+`).FindString(v.URL())
	v.Sees("Ash Moreno has no qualification on record")
	v.Open(hikePath + "/staffing")
	v.Press("form[action$='/accept'] button")
	v.Sees("Their yes is written down")
	v.Open(hikePath + "/manage")
	writeForecast(v)
	v.Press("form[action$='/post'] button")
	v.Sees("The hike is posted")
	v.Press("form[action$='/decide'] button")
	v.Sees("It goes as planned. Decided by Juniper Vale")
	return hikePath
}

// writeForecast sends a forecast with a fault, and then without.
func writeForecast(v *chromium.Tab) {
	const form = "form[action$='/forecast']"
	v.Fill(form, map[string]string{
		"temperature_unit": "C", "low": "9", "high": "warm", "dew_point": "1", "wind": "7", "wind_unit": "km/h",
		"cloud": "10",
	})
	v.Press(form + " button[type=submit]")
	v.Sees("highest temperature")
	v.Fill(form, map[string]string{"high": "22"})
	v.Press(form + " button[type=submit]")
	v.Sees("plan says go")
}

// signUp asks for a place as anybody may, and returns the address of the private page.
func signUp(v *chromium.Tab, hikePath string) (place string) {
	v.Open("/")
	v.Sees("Cinder Wash at first light")
	v.Open(hikePath)
	v.Open(hikePath + "/sign-up")
	opened := time.Now()
	const send = "form.SignupForm button[type=submit]"
	v.Press(send)
	v.Sees("another look")
	v.Fill("form.SignupForm", map[string]string{
		"name": "Amaya Reyes", "email": "amaya@example.org", "mobile": "602 555 0144",
		"contact": "Teo Reyes", "contact_tel": "480 555 0155",
		"walk_distance": "80", "walk_climb": "4000", "walk_hours": "3", "walk_ago": "2", "longest": "On rock, fine",
		"water": "3", "hot_days": "2", "hot_before": "yes", "lives_here": "yes", "heat_ill": "no", "health": "no",
		"shoes": "boots", "age": "adult", "agree": "on",
	})
	time.Sleep(time.Until(opened.Add(3 * time.Second))) // a form that comes faster than a person writes is sent back
	v.Press(send)
	v.Sees("confirmed")
	v.Sees("Drink and eat by the clock")
	return v.URL()
}

// thereAndBack takes the roll from the trailhead to the end.
func thereAndBack(v *chromium.Tab, hikePath string) {
	v.Open(hikePath + "/roll")
	v.Sees("0 of 3 here")
	for range 3 {
		before := v.Text("#roll .Roll-big")
		v.Click("#roll button[value=here]")
		v.Changes("#roll .Roll-big", before)
	}
	v.Sees("3 of 3 here")
	v.Tap("#roll button[value=departed]", "The next count should give 3")
	count := func(leader, sweep, then string) {
		v.Fill("#roll form:has([name=leader])", map[string]string{
			"place": "Notch Junction", "leader": leader, "sweep": sweep,
		})
		v.Tap("#roll button[value=counted]", then)
	}
	count("3", "2", "disagree")
	count("3", "3", "Count at Notch Junction")
	v.Open("/board")
	v.Sees("Cinder Wash")
	v.Sees("on time")
	v.Open(hikePath + "/manage")
	v.Press("form[action$='/close'] button")
	v.Sees("Amaya Reyes") // who is out: it does not close
	v.Open(hikePath + "/roll?part=back")
	for range 3 {
		markBack(v)
	}
	v.Sees("Everybody is accounted for")
	v.Open("/board")
	v.Press("form[action$='/stand-down'] button")
	v.Sees("stood down")
	v.Open(hikePath + "/manage")
	v.Press("form[action$='/close'] button")
	v.Sees("The hike is closed")
}

// markBack marks the first person of the list, and waits until the page is at rest.
func markBack(v *chromium.Tab) {
	v.T.Helper()
	out := func() int { return strings.Count(v.Text("#roll"), "last counted") }
	before := out()
	v.Click("#roll button[value=back]")
	if !chromium.Await(sitetest.Patience, func() bool { return out() < before }) {
		v.T.Fatalf("still %d people out\npage: %s", before, v.Where())
	}
	v.Sees("Everything is sent")
}
