package web_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/privacy"
	"saltbush/internal/site/sitetest"
	"saltbush/web"
)

// A new page has to say what it shows of the people of a hike.
func TestEveryPageSaysWhatItShows(t *testing.T) {
	t.Parallel()
	table, known := shownBy(), map[string]bool{}
	for _, r := range web.AllRoutes() {
		if r.Method != http.MethodGet {
			continue
		}
		if _, in := table[r.Pattern]; !in {
			t.Errorf("GET %s is not in the table of this walk: say what it shows", r.Pattern)
		}
		known[r.Pattern] = true
	}
	for pattern := range table {
		if !known[pattern] {
			t.Errorf("the table of this walk has %s, which is no page", pattern)
		}
	}
}

// notOpened are pages that nobody in the walk can be let into: there are accounts already,
// nobody signs in with a second step, and nobody asks for a new password.
func notOpened() []string {
	return []string{"/first/{secret}", "/sign-in/code", "/new-password/{secret}"}
}

// Everybody reads every page at every stage, and each planted value is looked for: what is
// shown against the table of who sees what, and what is missing, both fail.
func TestWhoSeesWhatOnEveryPage(t *testing.T) {
	t.Parallel()
	w := newWalk(t)
	for _, at := range stages() {
		w.reach(at)
		for _, r := range w.readers {
			w.walk(r, at)
		}
		w.readAsLandManager(at)
		w.openCards(at)
		if at.letter == "a" {
			w.walkAfterTaking(at)
		}
	}
	w.checkMails()
	t.Logf("%d pages were read", w.pages)
	w.checkWalk()
}

// checkWalk fails where the walk itself is blind: a page that nobody was let into, or a field
// that no page showed to anybody although it is due there.
func (w *walk) checkWalk() {
	w.t.Helper()
	for pattern, shows := range shownBy() {
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

// walkAfterTaking lets a safety officer take the alarm: from then on they see what on-call sees.
func (w *walk) walkAfterTaking(at stage) {
	w.t.Helper()
	other := w.reader("safety officer")
	other.v.Post("/board/1/acknowledge", nil).Want(http.StatusSeeOther)
	took := *other
	took.name = "safety officer who took the alarm"
	took.as = append(slices.Clone(other.as), privacy.AsOnCall)
	w.walk(&took, at)
}

// readAsLandManager reads what goes to the manager of the land, with their eyes.
func (w *walk) readAsLandManager(at stage) {
	w.t.Helper()
	manager := &reader{name: "land manager", as: []privacy.Capacity{privacy.AsLandManager}}
	for _, path := range []string{"/hikes/1/land-manager", "/hikes/1/land-manager.csv"} {
		status, body := w.get(w.reader("coordinator"), path)
		if status != http.StatusOK {
			w.t.Errorf("%s: GET %s: status %d", at.name, path, status)
		}
		for _, want := range []string{"Leader 1", "On-call 01, 602-555-0101"} {
			if !strings.Contains(body, want) {
				w.t.Errorf("%s: GET %s does not say %q", at.name, path, want)
			}
		}
		w.check(manager, at, path, status, body, nil)
	}
}

// mayOpenCards lists by hand who reads a whole card when they give a reason, by the letter of
// the stage.
func mayOpenCards() map[string][]string {
	return map[string][]string{
		"o": {"leader of the hike"},
		"a": {"leader of the hike", "on-call", "on-call by an alarm's link", "safety officer"},
		"x": {"safety officer"},
	}
}

// openCards asks for the card as everybody, with a reason. On the evening before, the day of
// the hike may or may not have begun.
func (w *walk) openCards(at stage) {
	w.t.Helper()
	if at.letter == "e" {
		return
	}
	for _, r := range w.readers {
		path := "/hikes/1/cards/" + sitetest.Grown
		if secret := r.links["watch"]; secret != "" {
			path = "/watch/" + secret + "/cards/" + sitetest.Grown
		}
		page := r.v.Post(path, url.Values{"reason": {"They sit down and do not answer."}})
		want := slices.Contains(mayOpenCards()[at.letter], r.name)
		for _, text := range []string{sitetest.PlantedCondition, sitetest.PlantedMedicine} {
			if got := strings.Contains(page.Body, text); got != want {
				w.t.Errorf("%s: %s opens a card: status %d, shown %v, want %v", at.name, r.name, page.Status, got, want)
			}
		}
	}
}

// check holds a page against the table, field by field: what it shows and may not, and what
// it is there to show and does not.
func (w *walk) check(r *reader, at stage, pattern string, status int, body string, shows []mustShow) {
	w.t.Helper()
	sees := privacy.Visibility{As: r.as, Window: at.window}
	for _, f := range w.Fields {
		shown := strings.Contains(body, f.Text)
		may := sees.CanSee(f.Kind) || f.Of == r.own || slices.Contains(r.knows, f.Text) || rings(sees, f, pattern)
		if shown && !may {
			w.t.Errorf("LEAK %s: %s, GET %s shows the %s %q (%s)", at.name, r.name, pattern, f.What, f.Text, f.Kind)
		}
		due := may && status == http.StatusOK && r.due(f, at, shows)
		if due && shown {
			w.met[pattern+" "+f.What] = true
		}
		if due && !shown {
			w.t.Errorf("MISSING %s: %s, GET %s does not show the %s %q (%s)",
				at.name, r.name, pattern, f.What, f.Text, f.Kind)
		}
	}
	for _, secret := range w.private {
		if strings.Contains(body, secret) && !r.has(secret) {
			w.t.Errorf("LEAK %s: %s, GET %s shows a private link of somebody else", at.name, r.name, pattern)
		}
	}
}

func (r *reader) has(secret string) bool {
	for _, own := range r.links {
		if own == secret {
			return true
		}
	}
	return false
}

// rings is the one exception of the table: the number of somebody with a talk before them.
func rings(sees privacy.Visibility, f sitetest.PlantedField, pattern string) bool {
	return f.Of == sitetest.Asked && f.What == "mobile" &&
		strings.HasPrefix(pattern, "/hikes/{hike}/screening") && sees.CanPhone()
}

// due reports whether the page is there to show the field now.
func (r *reader) due(f sitetest.PlantedField, at stage, shows []mustShow) bool {
	return slices.ContainsFunc(shows, func(m mustShow) bool {
		of := slices.Contains(m.of, f.Of) || r.own == f.Of && slices.Contains(m.of, own)
		return of && strings.Contains(m.stages, at.letter) && slices.Contains(m.what, f.What)
	})
}

// checkMails reads every mail that was sent as the one to whom it was sent.
func (w *walk) checkMails() {
	w.t.Helper()
	var cards, alarms, decisions int
	for _, m := range w.site.Mails(w.t) {
		var shows []mustShow
		switch {
		case m.Channel == message.ByAlarm && strings.HasPrefix(m.Key, "watch/1/card"):
			cards++
		case m.Channel == message.ByAlarm && strings.HasPrefix(m.Key, "watch/1/"):
			alarms++
		case strings.HasPrefix(m.Key, "decided"):
			decisions++
			shows = []mustShow{{"m", itself, []string{"name"}}}
		}
		if m.Channel == message.ByAlarm {
			shows = []mustShow{{"m", out, []string{"name"}}, {"m", placed, []string{"plate"}}}
		}
		to := w.recipient(m.To)
		to.links = map[string]string{}
		for _, secret := range w.private {
			if strings.Contains(m.Text, secret) {
				to.links[secret] = secret // a mail brings its reader's own links
			}
		}
		at := stage{letter: "m", name: "mail " + m.Key, window: w.windowAt(m.Created)}
		w.check(to, at, "mail", http.StatusOK, m.Subject+"\n"+strings.Join(strings.Fields(m.Text), " "), shows)
	}
	if cards == 0 || alarms < 4 || decisions == 0 {
		w.t.Errorf("%d cards, %d alarms and %d decisions were mailed, want 1, 4 and 1 or more",
			cards, alarms, decisions)
	}
}

// recipient is what the owner of an address is to the hike.
func (w *walk) recipient(email string) *reader {
	r := &reader{name: email}
	switch email {
	case "oncall1@example.org", "leader4@example.org": // leader 4 is the deputy
		r.as = []privacy.Capacity{privacy.AsOnCall}
		return r
	case sitetest.Coordinator:
		r.as = []privacy.Capacity{privacy.AsCoordinator}
		return r
	}
	for _, f := range w.Fields {
		switch {
		case f.Text != email:
		case f.What == "email":
			r.own = f.Of
		case f.What == "contact's email":
			r.knows = w.textsOf(f.Of, "name", "contact's name", "contact's email")
		}
	}
	return r // else a phone or a browser, which show what they get to anybody
}

func (w *walk) textsOf(person string, what ...string) (list []string) {
	for _, f := range w.Fields {
		if f.Of == person && slices.Contains(what, f.What) {
			list = append(list, f.Text)
		}
	}
	return list
}

// windowAt is the window of the table at a moment, by the hours of this walk.
func (w *walk) windowAt(at time.Time) privacy.Window {
	after := at.Sub(w.Hike.Start)
	return privacy.Window{
		Day:     after >= -24*time.Hour-30*time.Minute && after < 48*time.Hour,
		Watched: after >= 0 && after < 5*time.Hour,
		Alarm:   after >= 3*time.Hour && after < 5*time.Hour,
	}
}
