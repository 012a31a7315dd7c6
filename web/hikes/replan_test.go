package hikes_test

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/unit"
)

// decidedSite is a planned hike with one walker whose private page is known.
type decidedSite struct {
	*sitetest.Site
	leader *sitetest.Visitor
	place  string
	before hike.StoredPlan
}

func newDecided(t *testing.T) decidedSite {
	t.Helper()
	s := sitetest.Pages(t, sitetest.Planned, time.Now)
	s.ChangeHike(t, 1, func(h *hike.Hike) { h.Places, h.Notice = 40, "A short stroll, level all the way." })
	walker := sitetest.Walker("Noor Ferrante", "noor@example.org")
	walker.Asked = time.Now().Add(-time.Minute)
	walker.SelfReport = signup.SelfReport{HotBefore: true, LivesHere: true,
		Walk: signup.Outing{Distance: 20 * unit.Kilometre, Ascent: 2000 * unit.Metre}}
	_, place := sitetest.AddSignUp(t, s.DB, walker)
	s.Exec(t, `UPDATE signups SET state = 'confirmed' WHERE email = $1`, walker.Email)
	if err := sitetest.SavePlan(context.Background(), s.DB, time.Now()); err != nil {
		t.Fatal(err)
	}
	d := decidedSite{Site: s, leader: s.SignIn(t, sitetest.Leader), place: place}
	d.before = d.plan(t)
	return d
}

func (d decidedSite) plan(t *testing.T) hike.StoredPlan {
	t.Helper()
	p, err := d.DB.LatestPlan(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func (d decidedSite) decide(t *testing.T, outcome, field, value string) hike.StoredPlan {
	t.Helper()
	form := url.Values{"outcome": {outcome}, field: {value}, "reason": {"Smoke from the north."}}
	d.leader.Post("/hikes/1/decide", form).Want(http.StatusSeeOther)
	after := d.plan(t)
	if after.ID == d.before.ID {
		t.Fatal("no new plan is stored")
	}
	if got := d.Hike(t, 1).Decision.Plan; got != after.ID {
		t.Errorf("the decision is based on plan %d, want %d", got, after.ID)
	}
	if after.Inputs.Forecast.High != d.before.Inputs.Forecast.High {
		t.Errorf("the forecast of the plan changed from %+v to %+v", d.before.Inputs.Forecast, after.Inputs.Forecast)
	}
	return after
}

// mail is the announcement to Noor, in one line.
func (d decidedSite) mail(t *testing.T) string {
	t.Helper()
	for _, m := range d.Mails(t) {
		if m.To == "noor@example.org" && strings.HasPrefix(m.Key, "decided/") && m.State == message.Queued {
			return strings.Join(strings.Fields(m.Text), " ")
		}
	}
	t.Fatal("nothing was announced to Noor")
	return ""
}

func (d decidedSite) updates(t *testing.T) string {
	t.Helper()
	links, _ := announced(t, d.Site)
	return links["noor@example.org"]
}

// figures are what every page and mail says of the plan: the return, the water and the way.
func (d decidedSite) figures(p hike.StoredPlan) (expected, late, water, distance string) {
	zone := p.Inputs.Start.Location()
	upTo := func(d time.Duration) string {
		return format.Clock(p.Inputs.Start.Add(d+time.Minute-time.Nanosecond).Truncate(time.Minute), zone)
	}
	return upTo(p.Plan.Time.P50.Duration()), upTo(p.Plan.Time.P90.Duration()),
		format.Volume(p.Plan.Water.Carry, format.Metric), format.Length(p.Plan.Trail.Distance, format.Metric)
}

// everywhere holds every page and the mail against the new plan.
func (d decidedSite) everywhere(t *testing.T, after hike.StoredPlan, says ...string) {
	t.Helper()
	zone := d.Hike(t, 1).Start.Location()
	after.Inputs.Start = after.Inputs.Start.In(zone)
	d.before.Inputs.Start = d.before.Inputs.Start.In(zone)
	expected, late, water, distance := d.figures(after)
	anybody := d.Visitor(t)
	pages := map[string]sitetest.Page{
		"plan":    d.leader.Get("/hikes/1/manage"),
		"sheet":   d.leader.Get("/hikes/1/trip-sheet"),
		"notice":  anybody.Get("/hikes/1"),
		"place":   anybody.Get(d.place),
		"updates": anybody.Get(d.updates(t)),
	}
	for name, p := range pages {
		p.Want(http.StatusOK).Shows(expected, late)
		if name != "updates" || water != format.Volume(d.before.Plan.Water.Carry, format.Metric) {
			p.Shows(water)
		}
	}
	for _, name := range []string{"sheet", "notice"} {
		pages[name].Shows(distance)
	}
	for _, name := range []string{"notice", "place", "updates"} {
		pages[name].Shows(says...)
	}
	pages["notice"].Shows("Changed", "Written before the change").Hides("Smoke from the north.")
	pages["place"].Shows("Changed since you signed up", "Smoke from the north.")
	pages["updates"].Shows("Not for me: I give my place back", "Smoke from the north.")
	mail := d.mail(t)
	says = append(says, "between "+expected+" and "+late, "Why: Smoke from the north.")
	for _, want := range says {
		if !strings.Contains(mail, want) && !strings.Contains(mail, strings.Split(want, ", no longer")[0]) {
			t.Errorf("%q is not in the mail:\n%s", want, mail)
		}
	}
}

func TestShorterChangesThePlanEverywhere(t *testing.T) {
	t.Parallel()
	d := newDecided(t)
	d.leader.Get("/hikes/1/manage").Shows("Notch Junction, 0.6 km")
	after := d.decide(t, "shorter", "turn", "notch junction")
	if after.Inputs.Turn != 600 || after.Plan.Trail.Distance != 1200 {
		t.Fatalf("the plan turns at %v and walks %v, want 600 m and 1200 m", after.Inputs.Turn,
			after.Plan.Trail.Distance)
	}
	if was := d.before.Plan; after.Plan.Water.Carry >= was.Water.Carry || after.Plan.Time.P90 >= was.Time.P90 {
		t.Errorf("the shorter walk needs %v and takes %v, the whole one %v and %v", after.Plan.Water.Carry,
			after.Plan.Time.P90, was.Water.Carry, was.Time.P90)
	}
	d.everywhere(t, after, "it turns back at Notch Junction", "Walk: to Notch Junction and back", "Distance: 1.2 km",
		"Water each: ")
	for _, path := range []string{"/hikes/1/trip-sheet", "/hikes/1/manage", "/hikes/1", "/hikes/1/roll"} {
		d.leader.Get(path).Shows("at Notch Junction").Hides("The saddle")
	}
	d.Visitor(t).Get("/").Shows("1.2 km").Hides("4.4 km")

	d.before = after
	whole := d.decide(t, "go", "turn", "")
	if whole.Inputs.Turn != 0 || whole.Plan.Trail.Distance <= 2*after.Plan.Trail.Distance {
		t.Errorf("it goes as planned, and the plan turns at %v", whole.Inputs.Turn)
	}
	if n := d.SignUps(t, 1); n[len(n)-1].State != signup.Offered {
		t.Errorf("back to the longer walk, Noor is %s without being asked", n[len(n)-1].State)
	}
}

func TestAnotherStartChangesThePlanEverywhere(t *testing.T) {
	t.Parallel()
	for outcome, by := range map[string]time.Duration{"earlier": -time.Hour, "later": 30 * time.Minute} {
		t.Run(outcome, func(t *testing.T) {
			t.Parallel()
			d := newDecided(t)
			zone := d.Hike(t, 1).Start.Location()
			start := d.Hike(t, 1).Start.Add(by)
			if start.Day() != d.Hike(t, 1).Start.Day() {
				t.Skip("the hike of the fixture starts too near midnight")
			}
			after := d.decide(t, outcome, "start", format.Clock(start, zone))
			if !after.Inputs.Start.Equal(start) {
				t.Fatalf("the plan starts at %v, want %v", after.Inputs.Start, start)
			}
			d.everywhere(t, after, "It goes, "+outcome, "Meet: "+format.Clock(start.Add(-30*time.Minute), zone),
				"We leave: "+format.Clock(start, zone))
		})
	}
}

func TestAnotherTrailChangesThePlanEverywhere(t *testing.T) {
	t.Parallel()
	d := newDecided(t)
	addRidge(t, d.Site)
	today := unit.DateOf(time.Now())
	qualify(t, d.Site, 2, today)
	qualify(t, d.Site, 3, today)
	after := d.decide(t, "other trail", "trail", "2")
	d.everywhere(t, after, "Lantern Ridge", "Trail: Lantern Ridge", "Distance: 11.1 km", "Water each: ")
	if !strings.Contains(d.mail(t), "This asks more of you than before: its class is ") {
		t.Errorf("the mail does not say what the other trail asks:\n%s", d.mail(t))
	}
	d.Visitor(t).Get(d.place).Shows("The walk asks more of you than before")
}

// Without a forecast nobody knows the figures, and people are told so.
func TestShorterWithoutAPlan(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Ready, time.Now)
	leader := s.SignIn(t, sitetest.Leader)
	form := url.Values{"outcome": {"shorter"}, "turn": {"the fork"}, "reason": {"Known way."}}
	leader.Post("/hikes/1/decide", form).Want(http.StatusUnprocessableEntity).Shows("Say how far it is from the start")
	form.Set("turn_distance", "0.5")
	form.Set("turn_unit", "mi")
	leader.Post("/hikes/1/decide", form).Want(http.StatusSeeOther)
	links, _ := announced(t, s)
	s.Visitor(t).Get(links[amaya]).Shows("it turns back at the fork", "Distance: 1.6 km, no longer 4.4 km.",
		"no forecast has been typed for this day")
	s.AwaitMail(t, "decided/", "how much water each person needs are not known")
	if h := s.Hike(t, 1); h.Turn.Name != "the fork" || h.Decision.Plan != 0 {
		t.Errorf("turns at %+v on plan %d, want the fork and no plan", h.Turn, h.Decision.Plan)
	}
}

// Whoever does not want the changed walk gives the place back where they read of it.
func TestGivingThePlaceBackAfterAChange(t *testing.T) {
	t.Parallel()
	d := newDecided(t)
	d.decide(t, "shorter", "turn", "Notch Junction")
	d.Visitor(t).Post(d.updates(t), url.Values{"answer": {"no"}}).Want(http.StatusSeeOther)
	if n := d.SignUps(t, 1); n[len(n)-1].State != signup.Withdrawn {
		t.Errorf("Noor gave the place back and is %s", n[len(n)-1].State)
	}
}
