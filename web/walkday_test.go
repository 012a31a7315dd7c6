package web_test

import (
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
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/signup"
	"saltbush/internal/site"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// walkDay is one hike that is played through the pages by the leader, while on-call reads the watch.
type walkDay struct {
	*sitetest.Lookout
	t      *testing.T
	clock  *sitetest.Clock
	site   *sitetest.Site
	leader *sitetest.Visitor
	home   *sitetest.Visitor // the coordinator
	hike   hike.Hike
	people map[string]party.PersonID
}

// newWalkDay is a hike with the staff of a lookout and so many walkers, called Walker 1 and so on,
// that leaves at a time of a coming day: the clock of the database is real, and ends no session then.
func newWalkDay(t *testing.T, start time.Time, walkers int, change func(*hike.Hike)) *walkDay {
	t.Helper()
	d := &walkDay{Lookout: sitetest.NewLookout(t), t: t, clock: sitetest.NewClock(start.Add(-24 * time.Hour))}
	d.site = d.Pages(d.clock.Now, func(o *site.Options) { o.BaseURL = sitetest.WatchBase })
	d.leader, d.home = d.site.SignIn(t, "leader1@example.org"), d.site.SignIn(t, sitetest.Coordinator)
	d.hike = d.Post(1, start)
	sitetest.ChangeHike(t, d.DB, d.hike.ID, func(h *hike.Hike) {
		h.Places, h.OnCallAccepted = 24, start.Add(-24*time.Hour)
		for i := range h.Staff {
			h.Staff[i].Answer = team.AnswerAccepted
		}
		h.Decision = hike.Decision{Go: true, Outcome: hike.Goes, By: "Leader 1", At: start.Add(-12 * time.Hour)}
		if change != nil {
			change(h)
		}
	})
	for i := range walkers {
		s := sitetest.Walker(fmt.Sprintf("Walker %d", i+1), fmt.Sprintf("walker%d@example.org", i+1))
		s.Hike, s.Asked = d.hike.ID, start.Add(-48*time.Hour)
		s.EmergencyPhone = fmt.Sprintf("480-555-01%02d", i)
		sitetest.AddSignUp(t, d.DB, s)
	}
	d.hike = d.site.Hike(t, d.hike.ID)
	d.people = d.site.People(t, d.hike.ID)
	d.site.Exec(t, `UPDATE signups SET state = $1`, string(signup.Confirmed))
	return d
}

func (d *walkDay) path(page string) string { return fmt.Sprintf("/hikes/%d/%s", d.hike.ID, page) }

// at moves the clock to a time of the hike's day.
func (d *walkDay) at(hour, minute int) time.Time {
	start := d.hike.Start
	return time.Date(start.Year(), start.Month(), start.Day(), hour, minute, 0, 0, start.Location())
}

// taps sends one form of the roll at a time of the day.
func (d *walkDay) taps(hour, minute int, kind string, fields url.Values) sitetest.Page {
	d.t.Helper()
	d.clock.Set(d.at(hour, minute))
	id := uuid.Must(uuid.NewV7()) // in order, as phones send them
	form := url.Values{"event": {id.String()}, "kind": {kind}}
	for name, values := range fields {
		form[name] = values
	}
	return d.leader.Post(d.path("roll"), form)
}

// ids are the people of those names.
func (d *walkDay) ids(names ...string) (list []string) {
	d.t.Helper()
	for _, name := range names {
		id, known := d.people[name]
		if !known {
			d.t.Fatalf("nobody is called %q", name)
		}
		list = append(list, string(id))
	}
	return list
}

// everybody are the ids of all people on the roll.
func (d *walkDay) everybody() (list []string) {
	for _, id := range d.people {
		list = append(list, string(id))
	}
	slices.Sort(list)
	return list
}

// leaves marks everybody here with water for the way, and records the departure.
func (d *walkDay) leaves(hour, minute int) {
	d.t.Helper()
	before := d.at(hour, minute).Add(-5 * time.Minute)
	d.taps(before.Hour(), before.Minute(), "here", url.Values{"person": d.everybody()}).Want(http.StatusSeeOther)
	water := url.Values{"person": d.everybody(), "litres": {"8"}}
	d.taps(before.Hour(), before.Minute(), "water", water).Want(http.StatusSeeOther)
	d.taps(hour, minute, "departed", nil).Want(http.StatusSeeOther)
}

// plans stores a plan that is not computed, for what does not depend on how it was made.
func (d *walkDay) plans(change func(*plan.Plan)) {
	d.t.Helper()
	p := plan.Plan{}
	change(&p)
	stored := hike.StoredPlan{Hike: d.hike.ID, Made: d.hike.Start.Add(-18 * time.Hour), By: "test", Plan: p}
	stored.Inputs.Start, stored.Inputs.Trail = d.hike.Start, d.hike.Trail
	if err := d.DB.SavePlan(d.t.Context(), stored); err != nil {
		d.t.Fatal(err)
	}
}

// facts reads the marked facts of a page.
func (d *walkDay) facts(v *sitetest.Visitor, path, within string) map[string]string {
	d.t.Helper()
	found := map[string]string{}
	v.Get(path).Want(http.StatusOK).Find(within + " [data-fact]").Each(func(_ int, s *goquery.Selection) {
		found[s.AttrOr("data-fact", "")] = strings.TrimSpace(s.Text())
	})
	return found
}

// everywhere holds the marked facts of every page and paper that shows them to clock times. A page
// may leave facts out, but one of them must have each.
func (d *walkDay) everywhere(want map[string]string) {
	d.t.Helper()
	seen := map[string]int{}
	base := paths.Hike(d.hike.ID)
	for _, s := range []surface{
		{path: base + "/watch", within: "main"}, {path: "/board", within: fmt.Sprintf("#party-%d", d.hike.ID)},
		{path: base + "/roll", within: "main"}, {path: base + "/trip-sheet", within: "main"},
		{path: base + "/manage", within: "main"}, {path: base, within: "main"},
		{path: base + "/hand-over", within: "main"},
	} {
		for fact, got := range d.facts(d.home, s.path, s.within) {
			if expected, known := want[fact]; known && got != expected {
				d.t.Errorf("%s: %s is %s, want %s", s.path, fact, got, expected)
			}
			seen[fact]++
		}
	}
	for fact := range want {
		if seen[fact] == 0 {
			d.t.Errorf("no page says %s", fact)
		}
	}
}

// mail is the latest alarm of a step of the watch to an address.
func (d *walkDay) mail(step, to string) message.Mail {
	d.t.Helper()
	for _, m := range d.site.Mails(d.t) {
		if m.To == to && m.Channel == message.ByAlarm && strings.Contains(m.Key, "/"+step+"/") {
			return m
		}
	}
	d.t.Fatalf("no mail of the step %s went to %s", step, to)
	return message.Mail{}
}

// alarm is such a mail in one line.
func (d *walkDay) alarm(step, to string) string {
	d.t.Helper()
	m := d.mail(step, to)
	return strings.Join(strings.Fields(m.Subject+" "+m.Text), " ")
}

// watches makes a pass of the watch at a time of the day.
func (d *walkDay) watches(hour, minute int) {
	d.t.Helper()
	d.clock.Set(d.at(hour, minute))
	d.Watch(d.clock.Now)
}

// says fails the test for each text that is missing.
func says(t *testing.T, what, text string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("%s does not say %q:\n%s", what, w, text)
		}
	}
}

// computed lays out the trail as a straight way of so many fixes, types the forecast and stores the
// plan that follows.
func (d *walkDay) computed(way trail.Trail, forecast plan.Forecast) plan.Plan {
	d.t.Helper()
	ctx := d.t.Context()
	if err := d.DB.ChangeTrail(ctx, d.hike.Trail, func(t *trail.Trail) error {
		t.Profile, t.Points = way.Profile, way.Points
		return nil
	}); err != nil {
		d.t.Fatal(err)
	}
	sitetest.ChangeHike(d.t, d.DB, d.hike.ID, func(h *hike.Hike) { h.Forecast = &forecast })
	d.hike = d.site.Hike(d.t, d.hike.ID)
	stored, err := hike.PlanFor(d.hike, way, "Leader 1", d.hike.Start.Add(-18*time.Hour))
	if err != nil {
		d.t.Fatal(err)
	}
	if err := d.DB.SavePlan(ctx, stored); err != nil {
		d.t.Fatal(err)
	}
	return stored.Plan
}

// straight is a trail of so many fixes with that slope, and a junction six tenths of the way out.
func straight(fixes int, slope float64) trail.Trail {
	way := sitetest.DryFork()
	way.Profile = sitetest.Straight(fixes, unit.Length(11.12*slope), track.OutAndBack)
	way.Points = []trail.Point{
		{Kind: trail.Trailhead, Name: "Dry Fork gate"},
		{Kind: trail.Junction, Name: "Notch Junction", Along: way.Profile.Far() * 6 / 10},
		{Kind: trail.Goal, Name: "The saddle", Along: way.Profile.Far()},
	}
	return way
}

// firstOf returns the smallest number for which over is true.
func firstOf(low, high int, over func(int) bool) int {
	for low < high {
		if middle := (low + high) / 2; over(middle) {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low
}
