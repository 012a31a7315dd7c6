package watch_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/roll"
	"saltbush/internal/team"
	"saltbush/internal/watch"
)

// kept is the case of a hike with the promise of exact: start 06:30, watch time 11:30.
func kept(log []watch.Logged, events ...party.Event) watch.Case {
	p := plan.Plan{}
	p.Time.P50, p.Time.P90 = plan.Seconds(4*3600), plan.Seconds(5*3600)
	h := hike.Hike{ID: 7, Title: "Dry Fork", Start: at(6, 30), State: hike.Out, OnCall: team.Contact{Name: "Rosa"},
		Deputy: team.Contact{Name: "Tomas"}}
	if len(events) == 0 {
		h.State = hike.Posted
	}
	w := roll.Watched{Record: roll.Record{Hike: h, Roster: roster, Events: events}, Plan: &p, Trail: "Dry Fork"}
	return watch.CaseOf(w, log)
}

func fired(step watch.Step, due, when time.Time) watch.Logged {
	return watch.Logged{Kind: watch.LogStep, Step: step, Due: due, At: when}
}

func answered(when time.Time) watch.Logged {
	return watch.Logged{Kind: watch.LogAcknowledged, By: "Rosa", At: when}
}

func received(e party.Event, when time.Time) party.Event {
	e.Recorded = when
	return e
}

func delayed(n int, when time.Time, minutes int) party.Event {
	e := event(n, party.KindDelayed, when)
	e.Minutes = minutes
	return received(e, when)
}

func TestDecide(t *testing.T) {
	noPlan := kept(nil, departed())
	noPlan.Watched.Plan = nil
	closed := kept(nil, departed())
	closed.Hike.State = hike.Closed
	calledOff := kept(nil)
	calledOff.Hike.State = hike.CalledOff
	tests := []struct {
		name string
		c    watch.Case
		step watch.Step
		now  time.Time
		want watch.Action
	}{
		{"before its time", kept(nil, departed()), watch.StepWatch, at(11, 29), watch.Wait},
		{"at its time", kept(nil, departed()), watch.StepWatch, at(11, 30), watch.Fire},
		{"hours late", kept(nil, departed()), watch.StepWatch, at(19, 0), watch.Fire},
		{"departure never reported", kept(nil), watch.StepWatch, at(11, 30), watch.Fire},
		{"moved by a reported delay", kept(nil, departed(), delayed(3, at(8, 0), 40)), watch.StepWatch, at(11, 45),
			watch.Wait},
		{"everyone back", kept(nil, departed(), back()), watch.StepWatch, at(11, 30), watch.End},
		{"everyone back, before its time", kept(nil, departed(), back()), watch.StepWatch, at(11, 0), watch.End},
		{"answered", kept([]watch.Logged{answered(at(11, 34))}, departed()), watch.StepWatchDeputy, at(11, 40),
			watch.End},
		{"answered before the watch time is no answer", kept([]watch.Logged{answered(at(11, 20))}, departed()),
			watch.StepWatchDeputy, at(11, 40), watch.Fire},
		{"an answer to the asking is none to the call", kept([]watch.Logged{answered(at(11, 34))}, departed()),
			watch.StepCallAgain, at(12, 40), watch.Fire},
		{"the call goes out whoever answered the asking", kept([]watch.Logged{answered(at(11, 34))}, departed()),
			watch.StepCall, at(12, 30), watch.Fire},
		{"help asked for", kept(nil, departed(), trouble(2, at(8, 0))), watch.StepCall, at(8, 0), watch.Fire},
		{"help asked for by a device ahead of ours", kept(nil, departed(), trouble(2, at(8, 9))), watch.StepCall,
			at(8, 0), watch.Fire},
		{"a step that trouble overtook", kept(nil, departed(), trouble(2, at(8, 0))), watch.StepWatch, at(11, 30),
			watch.End},
		{"closed", closed, watch.StepWatch, at(11, 30), watch.End},
		{"called off", calledOff, watch.StepWatch, at(11, 30), watch.End},
		{"the likely return wakes nobody", kept(nil, departed()), watch.StepExpected, at(10, 30), watch.End},
		{"a step nobody knows", kept(nil, departed()), "unheard of", at(11, 30), watch.End},
		{"the card at the departure", kept(nil, departed()), watch.StepCard, at(6, 30), watch.Fire},
		{"no card before anybody left", kept(nil), watch.StepCard, at(7, 0), watch.End},
		{"no plan is told", watch.CaseOf(noPlan.Watched, nil), watch.StepNoPromise, at(6, 30), watch.Fire},
		{"with a plan there is nothing to tell", kept(nil, departed()), watch.StepNoPromise, at(6, 30), watch.End},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, got := tt.c.Decide(tt.step, tt.now); got != tt.want {
				t.Errorf("decide %s at %s = %s, want %s", tt.step, tt.now.Format("15:04"), got, tt.want)
			}
		})
	}
}

// After a delay the watch time comes again, and the answer to the first one does not count
// for the second.
func TestAnswerCountsForItsRound(t *testing.T) {
	log := []watch.Logged{fired(watch.StepWatch, at(11, 30), at(11, 30)), answered(at(11, 35))}
	c := kept(log, departed(), delayed(3, at(11, 40), 60))
	if _, got := c.Decide(watch.StepWatchDeputy, at(12, 40)); got != watch.Fire {
		t.Errorf("deputy of the second round: %s, want fire", got)
	}
	c = kept(append(log, fired(watch.StepWatch, at(12, 30), at(12, 30)), answered(at(12, 32))), departed(),
		delayed(3, at(11, 40), 60))
	if _, got := c.Decide(watch.StepWatchDeputy, at(12, 40)); got != watch.End {
		t.Errorf("deputy of the second round, answered: %s, want end", got)
	}
}

func TestCardComesAnewWhenADelayIsReported(t *testing.T) {
	c := kept(nil, departed(), delayed(3, at(8, 0), 40))
	if r, _ := c.Decide(watch.StepCard, at(8, 0)); !r.At.Equal(at(8, 0)) {
		t.Errorf("card at %v, want 08:00, when the delay was reported", r.At)
	}
	for _, kind := range []party.Kind{party.KindLeftEarly, party.KindSplit} {
		c := kept(nil, departed(), received(event(4, kind, at(8, 10), person(3)), at(8, 12)))
		if r, _ := c.Decide(watch.StepCard, at(8, 12)); !r.At.Equal(at(8, 12)) {
			t.Errorf("%s: card at %v, want 08:12, when it was reported", kind, r.At)
		}
	}
}

func TestNextAndAnswered(t *testing.T) {
	log := []watch.Logged{fired(watch.StepWatch, at(11, 30), at(11, 30)), answered(at(11, 35))}
	c := kept(log, departed())
	if r, ok := c.Next(at(11, 36)); !ok || r.Step != watch.StepWiden {
		t.Errorf("next = %s, want widen: the deputy is not needed", r.Step)
	}
	if l, ok := c.Answered(at(11, 36)); !ok || l.By != "Rosa" {
		t.Errorf("answered by %q, %v; want Rosa", l.By, ok)
	}
	if _, ok := c.Answered(at(12, 30)); ok {
		t.Error("the call for help counts as answered by an answer to the asking")
	}
}

// Whatever was reported, no step fires before its time unless help was asked for, and the
// scheduled steps are those that fire or wait.
func TestStepsKeepTheirTimes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := []party.Event{departed()}
		for i := range rapid.IntRange(0, 3).Draw(t, "delays") {
			events = append(events,
				delayed(10+i, at(7+i, rapid.IntRange(0, 59).Draw(t, "minute")), rapid.IntRange(1, 90).Draw(t, "delay")))
		}
		var log []watch.Logged
		for range rapid.IntRange(0, 3).Draw(t, "answers") {
			log = append(log,
				answered(at(6, 30).Add(time.Duration(rapid.IntRange(0, 600).Draw(t, "after"))*time.Minute)))
		}
		now := at(6, 30).Add(time.Duration(rapid.IntRange(0, 900).Draw(t, "now")) * time.Minute)
		c := kept(log, events...)
		armed := map[watch.Step]time.Time{}
		for _, a := range c.Scheduled(now) {
			armed[a.Step] = a.Look
		}
		for _, r := range c.Rungs() {
			_, action := c.Decide(r.Step, now)
			look, is := armed[r.Step]
			switch {
			case action == watch.Fire && now.Before(r.At):
				t.Errorf("%s fires at %v, before %v", r.Step, now, r.At)
			case action == watch.Fire && (!is || look.After(now)):
				t.Errorf("%s is to fire and is looked at %v, %v", r.Step, look, is)
			case action == watch.Wait && !look.Equal(r.At):
				t.Errorf("%s waits for %v and is looked at %v", r.Step, r.At, look)
			case action == watch.End && is:
				t.Errorf("%s has ended and is armed", r.Step)
			}
		}
	})
}

func TestRecipients(t *testing.T) {
	book := watch.Book{Members: []watch.Member{
		{Name: "Rosa Lind", Email: "rosa@example.org", Phone: "928-555-0101"},
		{Name: "Tomas Verde", Email: "tomas@example.org", Phone: "928-555-0102", Coordinator: true},
		{Name: "Twin Name", Email: "one@example.org"}, {Name: "Twin Name", Email: "two@example.org"},
	}}
	phones := book
	phones.Phones = true
	all := []watch.Owner{watch.OnCall, watch.Deputy, watch.Coordinator}
	tests := []struct {
		name           string
		book           watch.Book
		onCall, deputy team.Contact
		who            []watch.Owner
		took           []watch.Logged
		want           []string
	}{
		{"the hike's own address", book, team.Contact{Name: "Rosa Lind", Email: "r@example.org"}, team.Contact{},
			all[:1], nil, []string{"Rosa Lind, r@example.org"}},
		{"the account with the number", book, team.Contact{Name: "Ro", Phone: "(928) 555 0101"}, team.Contact{},
			all[:1], nil, []string{"Ro, rosa@example.org"}},
		{"the account with the name", book, team.Contact{Name: "rosa lind"}, team.Contact{}, all[:1], nil,
			[]string{"rosa lind, rosa@example.org"}},
		{"a name that two have is nobody's", book, team.Contact{Name: "Twin Name"}, team.Contact{}, all[:1], nil,
			[]string{"Twin Name, no address", "Tomas Verde, tomas@example.org"}},
		{"nobody named goes to the coordinators", book, team.Contact{}, team.Contact{}, all[:2], nil,
			[]string{"Tomas Verde, tomas@example.org"}},
		{"a phone alone does without a gateway", book, team.Contact{Name: "Ada", Phone: "1"}, team.Contact{}, all[:1],
			nil, []string{"Ada, 1", "Tomas Verde, tomas@example.org"}},
		{"a phone alone does with one", phones, team.Contact{Name: "Ada", Phone: "1"}, team.Contact{}, all[:1], nil,
			[]string{"Ada, 1"}},
		{"each once, in two parts", book, team.Contact{Name: "Tomas Verde"},
			team.Contact{Name: "T", Email: "Tomas@example.org"}, all, nil, []string{"Tomas Verde, tomas@example.org"}},
		{"whoever took it acts, and hears first", book, team.Contact{Name: "Tomas Verde"}, team.Contact{}, all[:1],
			[]watch.Logged{{By: "Rosa Lind"}}, []string{"Rosa Lind, rosa@example.org",
				"Tomas Verde, tomas@example.org"}},
		{"whoever took it is told once", book, team.Contact{Name: "Rosa Lind", Email: "r@example.org"}, team.Contact{},
			all[:1], []watch.Logged{{By: "Rosa Lind"}}, []string{"Rosa Lind, r@example.org"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var got []string
			for _, r := range tt.book.Recipients(hike.Hike{OnCall: tt.onCall, Deputy: tt.deputy}, tt.who, tt.took) {
				got = append(got, r.Words())
			}
			if d := cmp.Diff(tt.want, got); d != "" {
				t.Errorf("recipients (-want +got):\n%s", d)
			}
		})
	}
}

func TestAsleep(t *testing.T) {
	now := at(12, 0)
	tests := []struct {
		name string
		p    watch.Pulse
		want bool
	}{
		{"never ran", watch.Pulse{}, true},
		{"just ran", watch.Pulse{Passed: now.Add(-time.Second)}, false},
		{"under two minutes", watch.Pulse{Passed: now.Add(-119 * time.Second)}, false},
		{"two minutes", watch.Pulse{Passed: now.Add(-2 * time.Minute)}, true},
		{"a step failed", watch.Pulse{Passed: now, Failed: 1}, true},
		{"a step is overdue", watch.Pulse{Passed: now, Overdue: 1}, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.p.Asleep(now); got != tt.want {
				t.Errorf("asleep = %v, want %v", got, tt.want)
			}
		})
	}
}
