package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/unit"
)

// A warm day of five hours: no page asks for more than a liter an hour, five liters are carried, with
// salt, and every page that says how much to drink says what is too much. Nobody can set the house's
// rule above the ceiling either.
func TestNoPageAsksForTooMuchWater(t *testing.T) {
	t.Parallel()
	d := newWalkDay(t, time.Date(2040, 5, 9, 9, 0, 0, 0, arizona(t)), 4, nil)
	forecast := plan.Forecast{Low: unit.Fahrenheit(70), High: unit.Fahrenheit(93), DewPoint: 2, Wind: 2}
	h := d.hike
	h.Forecast = &forecast
	fixes := firstOf(100, 900, func(n int) bool {
		stored, err := hike.PlanFor(h, straight(n, 0.05), "Leader 1", h.Start)
		if err != nil {
			t.Fatal(err)
		}
		return stored.Plan.Time.P90.Duration() > 5*time.Hour
	}) - 1
	p := d.computed(straight(fixes, 0.05), forecast)
	if rate := p.Water.Drink.LitresPerHour(); rate > 0.95 || p.Water.Carry != 5 {
		t.Fatalf("the plan asks for %.2f L/h and %v L, want at most 0.95 and 5", rate, p.Water.Carry)
	}
	s := sitetest.Walker("Walker 9", "walker9@example.org")
	s.Hike = h.ID
	_, place := sitetest.AddSignUp(t, d.DB, s)
	d.site.Exec(t, `UPDATE signups SET state = 'confirmed'`)
	d.clock.Set(d.hike.Start.Add(-18 * time.Hour))
	rate := format.Flow(p.Water.Drink, format.Metric)
	for path, salt := range map[string]string{
		d.path("manage"): "salt", d.path("trip-sheet"): "salty food", d.path(""): "salt", place: "Salty snacks",
	} {
		d.leader.Get(strings.TrimSuffix(path, "/")).Want(http.StatusOK).
			Shows(rate, "5.0 L", salt, "never more than 1.42 L/h", "too much plain water")
	}
	risk := url.Values{"group": {"water-and-load"}, "long_drinking": {"1.8"}, "reason": {"They are used to it."}}
	d.home.Post("/house/rules", risk).Want(http.StatusUnprocessableEntity).Shows("1.4 L/h")
}

// Two people have a liter each and three are spare. The whole way needs 4.56, rounded up to five: three
// liters cure neither. The short way needs 2.95, rounded up to three: they are enough for one. Nobody
// opens the reserve.
func TestThreeSpareLitersTakeOnePersonOnTheShortWay(t *testing.T) {
	t.Parallel()
	d := newWalkDay(t, time.Date(2040, 4, 7, 7, 0, 0, 0, arizona(t)), 3, nil)
	d.plans(func(p *plan.Plan) {
		p.Time.P50, p.Time.P90 = plan.Seconds(3.7*3600), plan.Seconds(4.8*3600)
		p.Water.Drink, p.Water.Carry, p.Water.Reserve = 0.95, 5, 2
		p.Short = &plan.ShortOption{Name: "Notch Junction", P50: 8640, P90: 11160, Drink: 0.95, Carry: 3, Passes: true}
	})
	d.taps(6, 40, "here", url.Values{"person": d.everybody()}).Want(http.StatusSeeOther)
	others := d.ids("Leader 1", "Leader 2", "Leader 3", "Leader 4", "Walker 3")
	d.taps(6, 41, "water", url.Values{"person": others, "litres": {"5"}}).Want(http.StatusSeeOther)
	short := d.ids("Walker 1", "Walker 2")
	d.taps(6, 42, "water", url.Values{"person": short, "litres": {"1"}}).Want(http.StatusSeeOther)
	d.taps(6, 43, "stock", url.Values{"litres": {"3"}}).Want(http.StatusSeeOther)
	d.leader.Get(d.path("roll")).Want(http.StatusOK).Shows(
		"5 L each is needed. Not enough even with the car's spare water: Walker 1, Walker 2",
		"Short option to Notch Junction, 3 L each: Walker 1 with 2 L from the car",
		"On neither: Walker 2", "They stay behind unless somebody gives them water beyond what they need",
		"The leader chooses", "Spare in the leader's car: 3 L",
		"The group reserve that staff carry is never handed out at the start")
	for _, route := range []string{"full", "short"} {
		d.taps(6, 50, "departed", url.Values{"route": {route}}).Want(http.StatusUnprocessableEntity).Shows("Walker 2")
	}
	d.taps(6, 51, "turned away", url.Values{"person": d.ids("Walker 2"), "reason": {"too little water"}}).
		Want(http.StatusSeeOther)
	d.taps(6, 52, "departed", url.Values{"route": {"full"}}).Want(http.StatusUnprocessableEntity).Shows("Walker 1")
	d.taps(7, 0, "departed", url.Values{"route": {"short"}}).Want(http.StatusSeeOther)
	if left := d.site.Roll(t, d.hike.ID).State().Departure; len(left.Against) > 0 {
		t.Errorf("left against %q, want nothing", left.Against)
	}
	d.everywhere(map[string]string{"start": "07:00", "expected": "09:24", "watch": "10:06"})
}

// Somebody who has more than they need gives a liter: then both can go on the short way.
func TestAGivenLiterTakesTheOtherToo(t *testing.T) {
	t.Parallel()
	d := newWalkDay(t, time.Date(2040, 4, 7, 7, 0, 0, 0, arizona(t)), 3, nil)
	d.plans(func(p *plan.Plan) {
		p.Time.P50, p.Time.P90, p.Water.Carry = plan.Seconds(3.7*3600), plan.Seconds(4.8*3600), 5
		p.Short = &plan.ShortOption{Name: "Notch Junction", P50: 8640, P90: 11160, Carry: 3, Passes: true}
	})
	d.taps(6, 40, "here", url.Values{"person": d.everybody()}).Want(http.StatusSeeOther)
	water := func(litres, gives string, who ...string) {
		t.Helper()
		form := url.Values{"person": who, "litres": {litres}, "gives": {gives}}
		d.taps(6, 41, "water", form).Want(http.StatusSeeOther)
	}
	water("5", "0", d.everybody()...)
	water("1", "0", d.ids("Walker 1", "Walker 2")...)
	water("5", "1", d.ids("Walker 3")...)
	d.taps(6, 43, "stock", url.Values{"litres": {"3"}}).Want(http.StatusSeeOther)
	d.taps(7, 0, "departed", url.Values{"route": {"short"}}).Want(http.StatusSeeOther)
}

// Fifteen part at the junction, nine with the leader and six with sweep and assistant, and meet again
// with fourteen. Every page says that it is one of the slow six, whom nobody has counted since the
// junction, and to look along their way first.
func TestASplitPartyComesBackOneShort(t *testing.T) {
	t.Parallel()
	d := newWalkDay(t, time.Date(2040, 4, 7, 7, 0, 0, 0, arizona(t)), 12, func(h *hike.Hike) {
		h.Staff = h.Staff[:3]
	})
	d.plans(func(p *plan.Plan) { p.Time.P50, p.Time.P90 = 5*3600, 6*3600 })
	d.leaves(7, 0)
	slow := d.ids("Leader 2", "Leader 3", "Walker 9", "Walker 10", "Walker 11", "Walker 12")
	split := url.Values{
		"place": {"Notch Junction"}, "second": slow, "first_name": {"fast party"}, "first_number": {"9"},
		"second_name": {"slow party"}, "second_number": {"6"}, "meet": {"The saddle"}, "meet_in": {"75"},
	}
	d.taps(9, 40, "split", split).Want(http.StatusSeeOther)
	d.leader.Get(d.path("roll")).Shows("Fast party: one of staff alone; agree by name who is the second adult").
		Hides("needs its own staff")
	d.taps(10, 55, "rejoined", url.Values{
		"place": {"The saddle"}, "party_name": {"fast party", "slow party"}, "party_number": {"9", "5"},
		"there": d.ids("Leader 2", "Leader 3", "Walker 9", "Walker 10", "Walker 12"),
	}).Want(http.StatusSeeOther)
	look := []string{"Slow party: 5 counted at The saddle, 6 expected", "Missing from this count: Walker 11",
		"Look first along the slow party's route since Notch Junction",
		"The last right count was at Notch Junction at 09:40"}
	d.leader.Get(d.path("roll")).Want(http.StatusOK).Shows(look...).Shows("14", "15 expected")
	d.home.Get(d.path("watch")).Want(http.StatusOK).Shows(look...).
		Shows("14 of 15 at The saddle, 10:55")
	d.home.Get("/board").Shows("14 of 15 at The saddle, 10:55")

	missed := url.Values{"person": d.ids("Walker 11"), "place": {"the slow party's way"}, "seen_by": {"Walker 12"}}
	d.taps(10, 57, "missing", missed).Want(http.StatusSeeOther)
	d.leader.Get(d.path("roll")+"?part=help").Shows("Last agreed count", "Notch Junction, 09:40", "Walker 11")
	sheet := d.home.Get(d.path("hand-over")).Want(http.StatusOK)
	sheet.Shows("Walker 11; the other 14 were counted", "last seen or counted at Notch Junction", "09:40",
		"15 at Notch Junction", look[2])
	d.watches(10, 58)
	says(t, "the alarm", d.alarm("missing", "oncall1@example.org"), "Walker 11 is missing", "Notch Junction, 09:40")
}

// A party that leaves the junction without staff or without its own number is told at once.
func TestASplitWithoutStaffOrNumberIsToldAtOnce(t *testing.T) {
	t.Parallel()
	for name, change := range map[string]func(url.Values){
		"no staff":  func(v url.Values) { v["second"] = v["second"][2:] },
		"no number": func(v url.Values) { v.Del("second_number") },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := newWalkDay(t, time.Date(2040, 4, 7, 7, 0, 0, 0, arizona(t)), 6, nil)
			d.plans(func(p *plan.Plan) { p.Time.P50, p.Time.P90 = 5*3600, 6*3600 })
			d.leaves(7, 0)
			split := url.Values{
				"place": {"Notch Junction"}, "second": d.ids("Leader 2", "Leader 3", "Walker 5", "Walker 6"),
				"first_name": {"fast party"}, "first_number": {"6"}, "second_name": {"slow party"},
				"second_number": {"4"}, "meet": {"The saddle"}, "meet_in": {"75"},
			}
			change(split)
			d.taps(9, 40, "split", split).Want(http.StatusSeeOther)
			const told = "Slow party: a party needs its own staff and its own number before it leaves Notch Junction"
			d.leader.Get(d.path("roll")).Shows(told)
			d.home.Get(d.path("watch")).Shows(told)
		})
	}
}

// A December afternoon with sunset at 17:23 and a way back of 1 h 40: the latest turnaround is an hour
// before sunset less the way back and a quarter, 14:18, on screen, on paper, in the phone's record and in
// the card to on-call. With a start at 13:00 the goal is beyond it.
func TestDecemberTurnaroundIsTheSameEverywhere(t *testing.T) {
	t.Parallel()
	d := newWalkDay(t, time.Date(2040, 12, 15, 13, 0, 0, 0, arizona(t)), 4, nil)
	forecast := plan.Forecast{Low: 4, High: 16, DewPoint: -4, Wind: 2}
	h := d.hike
	h.Forecast = &forecast
	fixes := firstOf(100, 700, func(n int) bool {
		stored, err := hike.PlanFor(h, straight(n, 0.2), "Leader 1", h.Start)
		if err != nil {
			t.Fatal(err)
		}
		end, goal := stored.Plan.Time.P50.Duration(), stored.Plan.Time.Points
		return end-goal[len(goal)-1].P50.Sub(h.Start) > 100*time.Minute
	}) - 1
	p := d.computed(straight(fixes, 0.2), forecast)
	turn, by := p.Turnaround.At.Format("15:04"), p.Turnaround.StartBy.Format("15:04")
	if d.at(14, 18).Sub(p.Turnaround.At.Time).Abs() > 3*time.Minute {
		t.Fatalf("the latest turnaround is %s, want 14:18", turn)
	}
	d.clock.Set(d.hike.Start.Add(-18 * time.Hour))
	d.leader.Get(d.path("manage")).Shows("turn early, or start by " + by)
	d.leader.Get(d.path("trip-sheet")).Shows("Turn around by", "sunset at 17:2", "turn early, or start by "+by)
	d.everywhere(map[string]string{"turn": turn})
	d.taps(12, 55, "here", url.Values{"person": d.everybody()}).Want(http.StatusSeeOther)
	d.taps(12, 55, "water", url.Values{"person": d.everybody(), "litres": {"8"}}).Want(http.StatusSeeOther)
	d.taps(13, 0, "departed", nil).Want(http.StatusUnprocessableEntity).
		Shows("Everybody must be off the trail by 16:2", "daylight: sunset at 17:2")
	d.taps(13, 0, "departed", url.Values{"reason": {"We turn by " + turn}}).Want(http.StatusSeeOther)
	d.everywhere(map[string]string{"start": "13:00", "turn": turn})
	d.leader.Get(d.path("roll")).Shows("Turn around by", turn)
	d.home.Get(d.path("watch")).Shows("Turn around by", turn, "Darkness")
	d.watches(13, 1)
	says(t, "the watch card", d.alarm("card", "oncall1@example.org"), "Turn around by: Sat 15 Dec, "+turn,
		"sunset at 17:2")
}

// Thunder at 12:05 and 12:22 holds the party until 12:52 and moves no clock. The delay moves them once
// it is reported, and on-call gets a new card.
func TestThunderHoldsThePartyAndMovesNoClock(t *testing.T) {
	t.Parallel()
	d := newWalkDay(t, time.Date(2040, 4, 7, 10, 0, 0, 0, arizona(t)), 4, nil)
	d.plans(func(p *plan.Plan) { p.Time.P50, p.Time.P90 = 3*3600, 4*3600 })
	d.leaves(10, 0)
	before := map[string]string{"start": "10:00", "expected": "13:00", "watch": "14:00", "call": "15:00"}
	d.everywhere(before)
	d.taps(12, 5, "thunder", nil).Want(http.StatusSeeOther)
	d.leader.Get(d.path("roll")).Shows("Thunder: resume no sooner than 12:35")
	d.taps(12, 22, "thunder", nil).Want(http.StatusSeeOther)
	d.leader.Get(d.path("roll")).Shows("Thunder: resume no sooner than 12:52",
		"The watch time does not change until you record a delay below")
	d.home.Get(d.path("watch")).Shows("Thunder", "last heard 12:22", "waits until 12:52 at least",
		"Watch and call times do not change unless staff report a delay")
	d.everywhere(before)
	d.watches(12, 23)
	d.clock.Set(d.at(12, 52))
	if waits := d.leader.Get(d.path("roll")).Find(".Roll-thunder:not([hidden])").Length(); waits > 0 {
		t.Error("at 12:52 the roll still holds the party")
	}
	d.everywhere(before)
	d.taps(12, 53, "delayed", url.Values{"minutes": {"47"}, "reason": {"thunder"}}).Want(http.StatusSeeOther)
	d.everywhere(map[string]string{"start": "10:00", "expected": "13:47", "watch": "14:47", "call": "15:47"})
	d.watches(12, 54)
	says(t, "the new card", d.alarm("card", "oncall1@example.org"), "Watch time: Sat 7 Apr, 14:47",
		"Call time: Sat 7 Apr, 15:47")
}

// Confused and sweating after three hours: cool now and two callers, on the phone; on-call is told at
// once, and nobody reads that a rest is enough.
func TestAConfusedWalkerIsAnEmergency(t *testing.T) {
	t.Parallel()
	d := newWalkDay(t, time.Date(2040, 5, 12, 7, 0, 0, 0, arizona(t)), 4, nil)
	d.plans(func(p *plan.Plan) { p.Time.P50, p.Time.P90 = 4*3600, 5*3600 })
	house := url.Values{"organisation": {"Dry Country Hikes"}, "emergency": {"911"}, "zone": {"America/Phoenix"}}
	d.home.Post("/house", house).Want(http.StatusSeeOther)
	d.leaves(7, 0)
	seen := url.Values{"person": d.ids("Walker 2"), "place": {"Notch Junction"},
		"sign": {"sweating hard", "confused or not themselves"}}
	d.taps(10, 0, "unwell", seen).Want(http.StatusSeeOther)
	card := d.leader.Get(d.path("roll") + "?part=help").Want(http.StatusOK)
	card.Shows("Emergency: call now", "Walker 2, 10:00: sweating hard, confused or not themselves",
		"Cool now, before anything else",
		"Sweating does not rule heat stroke out", "Two callers")
	if text := card.Text(".Roll-care"); strings.Contains(text, "10 minutes") ||
		strings.Contains(text, "Stop in shade and watch") {
		t.Errorf("the card offers to wait:\n%s", text)
	}
	if call := card.Attr(".Roll-care a", "href"); call != "tel:911" {
		t.Errorf("the button of the card calls %q, want 911", call)
	}
	d.home.Get(d.path("watch")).Want(http.StatusOK).Shows("Walker 2: signs of an emergency, at Notch Junction",
		"Call the emergency number and say where first", "Walker 2: cool now, two callers")
	d.home.Get(d.path("hand-over")).Shows("Say where first: Dry Fork, 33.40",
		"Then: somebody in a guided hiking group needs help", "Walker 2: sweating hard, confused or not themselves",
		"last seen or counted at Notch Junction", "10:00").
		Hides("8 people are not accounted for")
	d.watches(10, 0)
	for _, to := range []string{"oncall1@example.org", "leader4@example.org", sitetest.Coordinator} {
		says(t, "the mail to "+to, d.alarm("call", to), "CALL FOR HELP", "due Sat 12 May, 10:00",
			"Walker 2: signs of an emergency, at Notch Junction")
	}
}

// On-call sleeps: after ten minutes the deputy is woken, after ten more the coordinator, each with what
// to do; the one who answers is named, and nobody else is woken.
func TestTheAlarmPassesOnWhileOnCallSleeps(t *testing.T) {
	t.Parallel()
	d := newWalkDay(t, time.Date(2040, 4, 7, 7, 0, 0, 0, arizona(t)), 4, nil)
	d.plans(func(p *plan.Plan) { p.Time.P50, p.Time.P90 = 3*3600, 4*3600 })
	d.leaves(7, 0)
	woken := func(hour, minute int, want ...string) {
		t.Helper()
		d.watches(hour, minute)
		got := map[string]bool{}
		for step := range d.LoggedSteps(t, d.hike) {
			if !strings.HasPrefix(step, "card/") {
				got[step] = true
			}
		}
		for _, w := range want {
			if !got[w] {
				t.Errorf("at %02d:%02d %s is not sent, but %v", hour, minute, w, got)
			}
		}
		if len(got) != len(want) {
			t.Errorf("at %02d:%02d %v are sent, want %v", hour, minute, got, want)
		}
	}
	onCall, deputy := "watch/1 to oncall1@example.org", "watch-deputy/1 to leader4@example.org"
	woken(10, 59)
	woken(11, 0, onCall)
	woken(11, 9, onCall)
	woken(11, 10, onCall, deputy)
	says(t, "the deputy's mail", d.alarm("watch-deputy", "leader4@example.org"), "ON-CALL HAS NOT ANSWERED",
		"First press \"I have it\"", "Leader Leader 1: 928-555-0100")
	d.home.Get(d.path("watch")).Shows("On-call has not answered (deputy)", "I have it",
		"Sent 11:00: On-call 01 (mail waiting to go").Hides("Carried out")
	woken(11, 19, onCall, deputy)
	coordinator := "watch-coordinator/1 to " + sitetest.Coordinator
	woken(11, 20, onCall, deputy, coordinator)
	says(t, "the coordinator's mail", d.alarm("watch-coordinator", sitetest.Coordinator), "NOBODY HAS ANSWERED")
	d.home.Post("/board/1/acknowledge", nil).Want(http.StatusSeeOther)
	d.home.Get("/board").Shows("Juniper Vale has it, since 11:20")
	woken(11, 29, onCall, deputy, coordinator)
}

// A deputy who answers lets the coordinator sleep.
func TestTheDeputyAnswersAndTheCoordinatorSleeps(t *testing.T) {
	t.Parallel()
	d := newWalkDay(t, time.Date(2040, 4, 7, 7, 0, 0, 0, arizona(t)), 4, nil)
	d.plans(func(p *plan.Plan) { p.Time.P50, p.Time.P90 = 3*3600, 4*3600 })
	d.leaves(7, 0)
	d.watches(11, 0)
	d.watches(11, 10)
	link := sitetest.LinkIn(t, d.mail("watch-deputy", "leader4@example.org"), "watch")
	d.site.Visitor(t).Post(link+"/acknowledge", nil).Want(http.StatusSeeOther)
	d.watches(11, 20)
	for step := range d.LoggedSteps(t, d.hike) {
		if strings.HasPrefix(step, "watch-coordinator") {
			t.Errorf("%s was sent though the deputy has the alarm", step)
		}
	}
}
