package main

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/privacy"
	"saltbush/web"
)

// A page that is new has to say what it shows of the people of a hike.
func TestRolesWalkEveryPage(t *testing.T) {
	table, known := walkTable(), map[string]bool{}
	for _, r := range web.AllRoutes() {
		if r.Method != http.MethodGet {
			continue
		}
		if _, in := table[r.Pattern]; !in {
			t.Errorf("GET %s is not in the table of the walk: say what it shows", r.Pattern)
		}
		known[r.Pattern] = true
	}
	for pattern := range table {
		if !known[pattern] {
			t.Errorf("the table of the walk has %s, which is no page", pattern)
		}
	}
}

// notOpened are pages that nobody in the walk can be let into: there are accounts already,
// nobody signs in with a second step, and nobody asks for a new password.
func notOpened() []string {
	return []string{"/first/{secret}", "/sign-in/code", "/new-password/{secret}"}
}

// Every standing reads every page at every time, and each planted value is looked for: what
// is shown against the table of who sees what, and what is missing, both fail.
func TestWhoSeesWhatOnEveryPage(t *testing.T) {
	w := newSightWalk(t)
	routes := web.AllRoutes()
	for _, at := range stages() {
		w.reach(at)
		for _, s := range w.standings {
			w.walk(s, at, routes)
		}
		w.readAsLandManager(at)
		w.openCards(at)
		if at.letter == "a" {
			w.walkAfterTaking(at, routes)
		}
	}
	w.judgeMails()
	t.Logf("%d pages were read", w.pages)
	w.judgeWalk()
}

// judgeWalk fails where the walk itself is blind: a page that nobody was let into, or a
// field that no page showed to anybody although it is due there.
func (w *sightWalk) judgeWalk() {
	w.t.Helper()
	for pattern, shows := range walkTable() {
		if !w.opened[pattern] && !slices.Contains(notOpened(), pattern) {
			w.t.Errorf("nobody was let into GET %s", pattern)
		}
		for _, m := range shows {
			for _, what := range m.what {
				if !w.met[pattern+" "+what] {
					w.t.Errorf("the walk never saw the %s on GET %s", what, pattern)
				}
			}
		}
	}
}

// walkAfterTaking lets the leader of another hike take the alarm: from then on they see
// what on-call sees.
func (w *sightWalk) walkAfterTaking(at stage, routes []web.Route) {
	w.t.Helper()
	other := w.of("leader of another hike")
	if got := post(w.t, other.c, w.p.base+"/board/1/acknowledge", nil); got != http.StatusSeeOther {
		w.t.Fatalf("taking the alarm: status %d", got)
	}
	took := *other
	took.name, took.as = "leader of another hike who took the alarm", append(slices.Clone(other.as), privacy.AsOnCall)
	w.walk(took, at, routes)
}

// readAsLandManager reads what goes to the manager of the land with their eyes: a leader
// sends it on.
func (w *sightWalk) readAsLandManager(at stage) {
	w.t.Helper()
	for _, path := range []string{"/hikes/1/land-manager", "/hikes/1/land-manager.csv"} {
		status, body := w.read(*w.of("coordinator"), path)
		if status != http.StatusOK || !strings.Contains(body, "Leader 1") || !strings.Contains(body, "On-call 01, 602-555-0101") {
			w.t.Errorf("%s: GET %s: status %d, or it does not name leader and on-call", at.name, path, status)
		}
		w.judge(standing{name: "land manager", as: []privacy.Capacity{privacy.AsLandManager}}, at, path, status, body, nil)
	}
}

// mayOpenCards lists by hand who reads a whole card when they give a reason, by the letter
// of the stage. On the evening before, the day of the hike may or may not have begun.
func mayOpenCards() map[string][]string {
	return map[string][]string{"o": {"leader of the hike"}, "x": {"safety officer"},
		"a": {"leader of the hike", "on-call", "on-call by an alarm's link", "safety officer"}}
}

// openCards asks for the card as everybody, with a reason.
func (w *sightWalk) openCards(at stage) {
	w.t.Helper()
	if at.letter == "e" {
		return
	}
	for _, s := range w.standings {
		path := "/hikes/1/cards/" + grown
		if s.secrets["watch"] != "" {
			path = "/watch/" + s.secrets["watch"] + "/cards/" + grown
		}
		status, page := w.p.post(w.t, s.c, path, url.Values{"reason": {"They sit down and do not answer."}})
		shown, want := strings.Contains(page, plantedCondition), slices.Contains(mayOpenCards()[at.letter], s.name)
		if shown != want || shown != strings.Contains(page, plantedMedicine) {
			w.t.Errorf("%s: %s opens a card: status %d, shown %v, want %v", at.name, s.name, status, shown, want)
		}
	}
}

// judgeMails reads every mail that went out as the one to whom it went.
func (w *sightWalk) judgeMails() {
	w.t.Helper()
	mails, err := w.db.Outbox().Recent(context.Background(), 1000)
	if err != nil {
		w.t.Fatal(err)
	}
	var cards, alarms, letters int
	for _, m := range mails {
		s := w.reader(m.To)
		var shows []mustShow
		at := stage{letter: "m", name: "mail " + m.Key, window: w.windowAt(m.Created)}
		if m.Channel == message.ByAlarm {
			shows = []mustShow{{"m", out, []string{"name"}}, {"m", placed, []string{"plate"}}}
		}
		switch {
		case strings.HasPrefix(m.Key, "watch/1/card") && m.Channel == message.ByAlarm:
			cards++
		case strings.HasPrefix(m.Key, "watch/1/") && m.Channel == message.ByAlarm:
			alarms++
		case strings.HasPrefix(m.Key, "decided"):
			letters++
			shows = []mustShow{{"m", []string{"own"}, []string{"name"}}}
		}
		s.secrets = map[string]string{}
		for i, private := range w.private {
			if strings.Contains(m.Text, private) {
				s.secrets[string(rune('a'+i))] = private // a mail brings its reader's own links
			}
		}
		w.judge(s, at, "mail", http.StatusOK, m.Subject+"\n"+strings.Join(strings.Fields(m.Text), " "), shows)
	}
	if cards == 0 || alarms < 4 || letters == 0 {
		w.t.Errorf("%d cards, %d alarms and %d letters of the day were read", cards, alarms, letters)
	}
}

// reader is what the owner of an address is to the hike.
func (w *sightWalk) reader(to string) standing {
	switch to {
	case "oncall1@example.org", "leader4@example.org": // leader 4 is the deputy
		return standing{name: to, as: []privacy.Capacity{privacy.AsOnCall}}
	case coordinatorMail:
		return standing{name: to, as: []privacy.Capacity{privacy.AsCoordinator}}
	}
	for _, f := range w.fields {
		switch {
		case f.text != to:
		case f.what == "email":
			return standing{name: to, own: f.of}
		case f.what == "contact's email":
			return standing{name: to, knows: w.textsOf(f.of, "name", "contact's name", "contact's email")}
		}
	}
	return standing{name: to} // a phone or a browser, which show what they get to anybody
}

func (w *sightWalk) textsOf(person string, what ...string) []string {
	var list []string
	for _, f := range w.fields {
		if f.of == person && slices.Contains(what, f.what) {
			list = append(list, f.text)
		}
	}
	return list
}

// windowAt is the window of the table at a moment, by the hours of this walk.
func (w *sightWalk) windowAt(at time.Time) privacy.Window {
	after := at.Sub(w.h.Start)
	return privacy.Window{Day: after >= -24*time.Hour-30*time.Minute && after < 48*time.Hour, Watched: after >= 0 && after < 5*time.Hour, Alarm: after >= 3*time.Hour && after < 5*time.Hour}
}
