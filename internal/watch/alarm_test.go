package watch_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/team"
	"saltbush/internal/watch"
)

// missed is the first report that Ben is missing, at eight o'clock.
func missed(factors ...party.Factor) party.Event {
	e := event(2, party.KindMissing, at(8, 0), person(4))
	e.Place, e.Factors = "Wash", factors
	return received(e, at(8, 0))
}

// steps lists the steps that fire at a moment.
func steps(c watch.Case, now time.Time) []string {
	var list []string
	for _, r := range c.Rungs() {
		if _, action := c.Decide(r.Step, now); action == watch.Fire && r.Step != watch.StepCard {
			list = append(list, string(r.Step))
		}
	}
	return list
}

// The first report of a missing person is an alarm at once, and it rises by itself.
func TestMissingPersonIsAnAlarmAtOnce(t *testing.T) {
	c := kept(nil, departed(), missed())
	for _, tt := range []struct {
		now   time.Time
		phase watch.Phase
		step  string
	}{
		{at(7, 59), watch.OnTime, ""},
		{at(8, 0), watch.Uncertainty, "search-1/missing"},
		{at(8, 14), watch.Uncertainty, "search-1/missing-again"},
		{at(8, 15), watch.Alert, "search-1/rise"},
		{at(8, 30), watch.Distress, "search-1/call"},
	} {
		if got := c.Phase(tt.now); got != tt.phase {
			t.Errorf("%v: phase %q, want %q", tt.now, got, tt.phase)
		}
		if got := steps(c, tt.now); tt.step != "" && !slices.Contains(got, tt.step) {
			t.Errorf("%v: steps %q, want %q among them", tt.now, got, tt.step)
		}
	}
	urgent := kept(nil, departed(), missed(party.FactorHeat))
	if got := urgent.Phase(at(8, 0)); got != watch.Distress {
		t.Errorf("phase %q in heat, want distress at once", got)
	}
	for _, r := range c.Rungs() {
		if r.Step == "search-1/missing" {
			if !slices.Equal(r.Who, []watch.Owner{watch.OnCall, watch.Deputy}) || !r.Deadline.Equal(at(8, 30)) ||
				!strings.Contains(r.About, "is missing") {
				t.Errorf("%+v; want on-call and deputy told who, with the search's own deadline", r)
			}
		}
	}
	if line := watch.NewBoardLine(c, at(8, 1)); line.Phase != watch.Uncertainty || len(line.Alarms) != 1 {
		t.Errorf("board: %q, %d alarms; want the missing person on it", line.Phase, len(line.Alarms))
	}
	if !c.Times.Watch.Equal(at(11, 30)) {
		t.Errorf("watch time %v, moved by the search", c.Times.Watch)
	}
}

// Found, everybody who was woken hears of it, once.
func TestAllClear(t *testing.T) {
	found := received(event(3, party.KindFound, at(8, 12), person(4)), at(8, 12))
	found.Note = "thirsty,\nwell"
	rosa, tomas := fired("search-1/missing", at(8, 0), at(8, 0)), fired("search-1/missing", at(8, 0), at(8, 0))
	rosa.Recipient, tomas.Recipient = "Rosa, rosa@example.org", "Tomas, no address"
	log := []watch.Logged{rosa, tomas}
	c := kept(log, departed(), missed(), found)
	if got := c.Phase(at(8, 13)); got != watch.OnTime {
		t.Errorf("phase %q, want on time again", got)
	}
	if got := steps(c, at(8, 13)); !slices.Equal(got, []string{"search-1/all-clear"}) {
		t.Errorf("steps %q, want the all-clear alone", got)
	}
	book := watch.Book{Members: []watch.Member{{ID: 9, Name: "Coordinator", Email: "c@example.org", Coordinator: true}}}
	c.Hike.OnCall = team.Contact{Name: "Rosa", Email: "rosa@example.org"}
	rung, _ := c.Decide("search-1/all-clear", at(8, 13))
	if !strings.Contains(rung.About, "was found") || !strings.Contains(rung.About, "(thirsty, well)") {
		t.Errorf("the all-clear says %q, want how it ended, on one line", rung.About)
	}
	if list := book.For(c, rung, at(8, 13)); len(list) != 2 || list[0].Name != "Rosa" || list[1].Name != "Tomas" {
		t.Errorf("told %+v, want those who were woken and nobody else", list)
	}
	if got := steps(kept(nil, departed(), missed(), found), at(8, 13)); len(got) != 0 {
		t.Errorf("steps %q where nobody was woken, want none", got)
	}
}

// The call for help is repeated until somebody takes it, and again once they fall silent.
func TestLadderDoesNotEndInSilence(t *testing.T) {
	log := []watch.Logged{
		fired(watch.StepCall, at(12, 30), at(12, 30)), fired(watch.StepCallAgain, at(12, 40), at(12, 40)),
	}
	c := kept(log, departed())
	if got := steps(c, at(12, 49)); slices.Contains(got, string(watch.StepRepeat)) {
		t.Errorf("repeated after nine minutes: %q", got)
	}
	if got := steps(c, at(12, 50)); !slices.Contains(got, string(watch.StepRepeat)) {
		t.Errorf("steps %q ten minutes later, want the repetition", got)
	}
	book := watch.Book{Members: []watch.Member{{ID: 8, Name: "Teo", Email: "teo@example.org", Safety: true}}}
	repeat, _ := c.Decide(watch.StepRepeat, at(12, 50))
	if list := book.For(c, repeat, at(12, 50)); !slices.ContainsFunc(list, func(r watch.Recipient) bool {
		return r.Email == "teo@example.org"
	}) {
		t.Errorf("the repetition goes to %+v, want the safety officer among them", list)
	}
	log = append(log, fired(watch.StepRepeat, at(12, 50), at(12, 50)))
	if got := steps(kept(log, departed()), at(13, 0)); !slices.Contains(got, string(watch.StepRepeat)) {
		t.Errorf("steps %q, want it again", got)
	}
	log = append(log, answered(at(13, 1)))
	c = kept(log, departed())
	if got := steps(c, at(13, 10)); slices.Contains(got, string(watch.StepRepeat)) {
		t.Errorf("steps %q although somebody has it", got)
	}
	if got := steps(c, at(13, 21)); !slices.Contains(got, string(watch.StepStill)) {
		t.Errorf("steps %q, want the holder asked after twenty minutes", got)
	}
	if _, has := c.Answered(at(13, 32)); has {
		t.Error("whoever is silent for half an hour still has it")
	}
	if got := steps(c, at(13, 32)); !slices.Contains(got, string(watch.StepRepeat)) {
		t.Errorf("steps %q, want the others told again", got)
	}
	note := watch.Logged{Kind: watch.LogNote, By: "Rosa", At: at(13, 25), Note: "no answer"}
	if l, has := kept(append(log, note), departed()).Answered(at(13, 40)); !has || l.By != "Rosa" {
		t.Error("a word from the holder does not keep it theirs")
	}
	passed := watch.Logged{Kind: watch.LogPassed, By: "Rosa", At: at(13, 5), Recipient: string(watch.Deputy)}
	c = kept(append(log, passed), departed())
	if _, has := c.Answered(at(13, 6)); has {
		t.Error("whoever passed it on still has it")
	}
	if got := steps(c, at(13, 6)); !slices.Contains(got, string(watch.StepPassed)) {
		t.Errorf("steps %q, want the deputy told", got)
	}
}

// The short route has the short route's clocks.
func TestShortRouteHasItsOwnClocks(t *testing.T) {
	p := exact()
	p.ShortP50, p.ShortP90 = 2*time.Hour, 150*time.Minute
	left := departed()
	left.Route = party.RouteShort
	if got := watch.TimesFor(p.AdjustedTo(fold(left)), fold(left)); !got.Watch.Equal(at(9, 0)) {
		t.Errorf("watch time %v, want that of the short route, 09:00", got.Watch)
	}
}
