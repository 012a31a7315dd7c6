package web_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// arizona is the zone of Dry Fork.
func arizona(t *testing.T) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("America/Phoenix")
	if err != nil {
		t.Skip("no zone data on this machine")
	}
	return zone
}

// hotMorning is a hike out of 3 h 45 with a start at 06:30, on a day whose heat reaches the limit of
// the open trail at 10:30.
func hotMorning(t *testing.T) (*walkDay, plan.Plan) {
	t.Helper()
	d := newWalkDay(t, time.Date(2040, 6, 9, 6, 30, 0, 0, arizona(t)), 4, nil)
	h, forecast := d.hike, plan.Forecast{DewPoint: 0, Wind: 2}
	of := func(fixes int, high float64) plan.Plan {
		forecast.Low, forecast.High = unit.Celsius(high-18), unit.Celsius(high)
		h.Forecast = &forecast
		stored, err := hike.PlanFor(h, straight(fixes, 0.06), "Leader 1", h.Start)
		if err != nil {
			t.Fatal(err)
		}
		return stored.Plan
	}
	fixes := firstOf(100, 900, func(n int) bool { return of(n, 38).Time.P50.Duration() > 225*time.Minute }) - 1
	limit := d.at(10, 30)
	high := firstOf(3400, 4600, func(n int) bool { return of(fixes, float64(n)/100).Heat.OffBy.Before(limit) }) - 1
	forecast.Low, forecast.High = unit.Celsius(float64(high)/100-18), unit.Celsius(float64(high)/100)
	return d, d.computed(straight(fixes, 0.06), forecast)
}

// The plan is refused the day before; at the trailhead the late start is stopped, and the short way is
// offered; whoever goes all the same gives the reason, and then every clock counts from the departure
// while the heat stays where it is.
func TestALateStartMovesNoLimit(t *testing.T) {
	t.Parallel()
	d, p := hotMorning(t)
	off := p.Turnaround.OffTrail.Format("15:04")
	if off != "10:30" {
		t.Fatalf("the heat limit is at %s, want 10:30", off)
	}
	d.clock.Set(d.hike.Start.Add(-18 * time.Hour))
	d.leader.Get(d.path("manage")).Want(http.StatusOK).Shows("11:21", off, "A shorter way",
		"Turn back at Notch Junction")
	d.leader.Post(d.path("decide"), url.Values{"outcome": {"go"}}).Want(http.StatusUnprocessableEntity).
		Shows("write down why")
	d.everywhere(map[string]string{
		"start": "06:30", "expected": "10:15", "watch": "11:21", "call": "11:51", "off": off,
	})

	d.taps(7, 0, "here", url.Values{"person": d.everybody()}).Want(http.StatusSeeOther)
	d.taps(7, 0, "water", url.Values{"person": d.everybody(), "litres": {"8"}}).Want(http.StatusSeeOther)
	d.clock.Set(d.at(7, 5))
	stopped := []string{"A party that leaves at 07:05 is back by 11:56 (nine in ten are)",
		"off the trail by " + off, "Do not take the full route. The short option to Notch Junction is back by"}
	d.leader.Get(d.path("roll")).Want(http.StatusOK).Shows(stopped...)
	d.taps(7, 5, "departed", nil).Want(http.StatusUnprocessableEntity).Shows(append(stopped, "write the reason")...)
	const reason = "Cloud all morning, and the saddle is in shade"
	d.taps(7, 5, "departed", url.Values{"reason": {reason}}).Want(http.StatusSeeOther)

	d.leader.Get(d.path("roll")).Shows("left although it was too late to be off the trail by "+off, reason)
	d.everywhere(map[string]string{
		"start": "07:05", "expected": "10:50", "watch": "11:56", "call": "12:26", "off": off,
	})
	d.home.Get(d.path("watch")).Shows("great heat is forecast", "The heat limit", off, "never moves later")
	d.home.Get(d.path("hand-over")).Shows("start 07:05", "back 10:50 to 11:56")
	d.watches(7, 6)
	says(t, "the watch card", d.alarm("card", "oncall1@example.org"), "07:05", "10:50", "11:56", "12:26", off,
		"great heat is forecast")
	d.watches(11, 55)
	if got := d.LoggedSteps(t, d.hike); len(got) != 2 {
		t.Errorf("before the watch time more than the card went out: %s", got.Since(d.hike.Start))
	}
	d.watches(11, 56)
	says(t, "the first alarm", d.alarm("watch", "oncall1@example.org"), "Call time: Sat 9 Jun, 12:26")
	d.watches(12, 25)
	d.watches(12, 26)
	if at := d.LoggedSteps(t, d.hike)["call/1 to oncall1@example.org"]; !at.Equal(d.at(12, 26)) {
		t.Errorf("help is called at %s, want 12:26", at.In(d.hike.Start.Location()).Format("15:04"))
	}
}

// On the short way the same party passes.
func TestALateStartOnTheShortWay(t *testing.T) {
	t.Parallel()
	d, _ := hotMorning(t)
	d.taps(7, 0, "here", url.Values{"person": d.everybody()}).Want(http.StatusSeeOther)
	d.taps(7, 0, "water", url.Values{"person": d.everybody(), "litres": {"8"}}).Want(http.StatusSeeOther)
	d.taps(7, 5, "departed", url.Values{"route": {"short"}}).Want(http.StatusSeeOther)
	if c := d.facts(d.home, d.path("watch"), "main"); c["watch"] >= "10:31" || c["start"] != "07:05" {
		t.Errorf("on the short way the clocks are %v, want a watch time before the heat", c)
	}
}
