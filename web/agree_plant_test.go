package web_test

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/phone"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/watch"
)

// rewriter stands between a visitor and the site, and changes one fact of each page.
type rewriter struct {
	next   http.RoundTripper
	change func(page []byte) []byte
}

// RoundTrip is for http.Client.
func (w *rewriter) RoundTrip(r *http.Request) (*http.Response, error) {
	answer, err := w.next.RoundTrip(r)
	if err != nil || w.change == nil {
		return answer, err
	}
	defer answer.Body.Close()
	page, err := io.ReadAll(answer.Body)
	if err != nil {
		return nil, err
	}
	page = w.change(page)
	answer.Body, answer.ContentLength = io.NopCloser(bytes.NewReader(page)), int64(len(page))
	return answer, nil
}

// marked is a change that writes another time into the marks of one fact.
func marked(fact string, at time.Time, zone *time.Location) func([]byte) []byte {
	mark := regexp.MustCompile(`(data-fact="` + fact + `">)[^<]*`)
	return func(page []byte) []byte { return mark.ReplaceAll(page, []byte("${1}"+format.Clock(at, zone))) }
}

// plantedHike left 25 minutes late, so that a time computed from its planned start is 25 minutes
// off; somebody is missing.
func plantedHike(a *agreement) *played {
	a.t.Helper()
	p := a.post(0, round) // its times have no limit that would hide a shift
	left := p.h.Start.Add(25 * time.Minute)
	e := party.Event{At: left, By: "Leader 1", Kind: party.KindDeparted, Persons: p.all, Number: len(p.all)}
	e.ID = "5a17b054-0000-4000-8000-00000000d001"
	gone := party.Event{At: left.Add(20 * time.Minute), By: "Leader 1", Kind: party.KindMissing, Persons: p.all[3:4]}
	gone.ID, gone.Place = "5a17b054-0000-4000-8000-00000000d002", "Notch Junction"
	a.append(p, gone.At, e, gone)
	a.clock.Set(gone.At.Add(5 * time.Minute))
	a.ready(p)
	return p
}

// Each surface that computes a fact by itself, and otherwise than the case, is found.
func TestASecondComputationIsFound(t *testing.T) {
	t.Parallel()
	a := newAgreement(t, 7)
	p := plantedHike(a)
	a.foundOnPages(p)
	a.foundInMails(p)
	a.foundInTexts(p)
	a.foundOnPhones(p)
}

// foundOnPages puts another time into the marks of each page.
func (a *agreement) foundOnPages(p *played) {
	t := a.t
	t.Helper()
	c, zone := a.caseOf(p.h), p.h.Start.Location()
	between := &rewriter{next: http.DefaultTransport}
	a.staff.Client().Transport, a.anybody.Client().Transport = between, between
	defer func() { between.change = nil }()
	second := map[string]time.Time{
		format.FactExpected: p.h.Start.Add(sitetest.Likely), format.FactWatch: p.h.Start.Add(sitetest.Latest),
		format.FactCall: p.h.Start.Add(sitetest.Latest + time.Hour),
	}
	for _, s := range a.surfaces(p) {
		if strings.HasSuffix(s.path, "/stream") || s.within == "" { // a rewriter would wait for its end
			continue
		}
		between.change = nil
		for end := time.Now().Add(time.Second); s.live && len(a.page(s, c)) > 0 && time.Now().Before(end); {
			time.Sleep(20 * time.Millisecond)
		}
		if wrong := a.page(s, c); len(wrong) > 0 {
			t.Errorf("%s as it is: %q", s.path, wrong)
		}
		for fact, at := range second {
			between.change = marked(fact, at, zone)
			if wrong := a.page(s, c); slices.Contains(s.must, fact) != (len(wrong) > 0) {
				t.Errorf("%s with another %s: %q", s.path, fact, wrong)
			}
		}
	}
}

// foundInMails writes the messages of the watch from the planned start.
func (a *agreement) foundInMails(p *played) {
	t := a.t
	t.Helper()
	c := a.caseOf(p.h)
	a.messages(c)
	a.ring(c)
	if len(a.wrong) > 0 {
		t.Fatalf("as it is: %q", a.wrong)
	}
	second := c
	second.Times = watch.TimesOf(c.Promise, time.Time{}, 0) // from the planned start
	for _, r := range dueRungs(c, a.clock.Now()) {
		notice := a.mails.Notice(watch.Firing{Case: second, Rung: r, Round: 1, Now: a.clock.Now()})
		for _, m := range notice.Mails {
			if n := len(a.wrongMessage(m, r.Step, c)); m.Channel == "alarm" && n < 4 {
				t.Errorf("%d times of four are wrong in:\n%s", n, m.Text)
			}
		}
	}
}

// foundInTexts tries sentences with another time or number, and a text without a name.
func (a *agreement) foundInTexts(p *played) {
	t := a.t
	t.Helper()
	c := a.caseOf(p.h)
	clock := func(at time.Time) string { return format.Clock(at, p.h.Start.Location()) }
	k, alarm, seen := c.Clocks(), c.Alarms()[0], map[string]int{}
	for _, text := range []string{
		"Tell somebody at home: back between " + clock(k.Expected) + " and " + clock(k.Latest.Add(time.Minute)) + ".",
		"Promised back by " + clock(k.Call), alarm.About + " since 09:59. Call for help at " + clock(k.Call) + ".",
		fmt.Sprintf("The next count should give %d.", c.State.Expected+1),
	} {
		if wrong := wrongWords(text, c, a.clock.Now(), seen); len(wrong) == 0 {
			t.Errorf("%q passes", text)
		}
	}
	if len(unnamed("somebody is missing", c, seen)) != 1 {
		t.Error("a text that names nobody passes")
	}
}

// foundOnPhones folds fewer records, and changes one clock.
func (a *agreement) foundOnPhones(p *played) {
	t := a.t
	t.Helper()
	c := a.caseOf(p.h)
	given := phone.Given{Roster: c.Roster, Terms: c.FullTerms(), Events: c.Events, Now: a.clock.Now()}
	if wrong := wrongView(phone.Look(given), c, given.Now); len(wrong) > 0 {
		t.Errorf("as it is: %q", wrong)
	}
	given.Events = c.Events[:1] // nobody is missing
	if wrong := wrongView(phone.Look(given), c, given.Now); len(wrong) == 0 {
		t.Error("a phone without the last record passes")
	}
	before := c.Clocks()
	before.Call = p.h.Start.Add(sitetest.Latest + time.Hour)
	if len(wrongClocks(before, c.Clocks())) != 1 {
		t.Error("another call time passes")
	}
}
