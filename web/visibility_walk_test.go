package web_test

import (
	"bufio"
	"context"
	"html"
	"io"
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/privacy"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
	"saltbush/web"
)

// reader is what somebody is to the hike that is walked, and how they come to its pages.
type reader struct {
	name string
	v    *sitetest.Visitor
	as   []privacy.Capacity
	// own is the person whose private link they have; links are the secrets of all links that
	// they have, by the first word of the address.
	own   string
	links map[string]string
	// knows are texts that they know without the table: for whom they are the contact.
	knows []string
	// linked says that they have nothing but a link: elsewhere they are anybody.
	linked bool
}

// stage is a time in the life of the hike, with the window of the table written by hand.
type stage struct {
	letter, name string
	at           time.Duration // from the start
	window       privacy.Window
	brief        bool // with -short nobody reads the pages at this stage
}

func stages() []stage {
	return []stage{
		{"b", "four days before", -96 * time.Hour, privacy.Window{Ahead: true}, true},
		{"e", "the evening before", -12 * time.Hour, privacy.Window{Ahead: true, Day: true}, false},
		{"o", "out and on time", time.Hour, privacy.Window{Day: true, Watched: true}, true},
		{"a", "in alarm", 250 * time.Minute, privacy.Window{Day: true, Watched: true, Alarm: true}, false},
		{"x", "closed, three days after", 72 * time.Hour, privacy.Window{}, false},
	}
}

// walk is a site with a planted hike, and everybody who reads its pages.
type walk struct {
	t *testing.T
	sitetest.Planting
	l       *sitetest.Lookout
	site    *sitetest.Site
	clock   *sitetest.Clock
	private []string // the secrets of all links, which nobody reads but who has them
	readers []*reader
	pages   int
	opened  map[string]bool // patterns that somebody was let into
	met     map[string]bool // what a page was due to show, and did
}

func newWalk(t *testing.T) *walk {
	t.Helper()
	w := &walk{t: t, l: sitetest.NewLookout(t), opened: map[string]bool{}, met: map[string]bool{}}
	// Seven in the morning at the trailhead, so that the hike has one date whenever the test runs.
	start := time.Now().UTC().Truncate(24 * time.Hour).Add(14*24*time.Hour + 14*time.Hour)
	w.clock = sitetest.NewClock(start.Add(-96 * time.Hour))
	w.site = w.l.Pages(w.clock.Now)
	h := w.l.Post(1, start)
	w.site.ChangeHike(t, h.ID, func(h *hike.Hike) {
		for i := range h.Staff {
			h.Staff[i].Answer, h.Staff[i].Answered = team.AnswerAccepted, w.clock.Now()
		}
	})
	w.Planting = w.l.Plant(t, h)
	w.signEverybodyIn()
	w.addLinkHolders()
	return w
}

// signEverybodyIn makes the readers with accounts. What each is to the hike is written here by
// hand, apart from the code that finds it out.
func (w *walk) signEverybodyIn() {
	const onCall, onCallElsewhere = "oncall1@example.org", "oncallelse@example.org"
	w.l.Account("On-call 01", onCall, "", account.OnCall)
	w.l.Account("Ines Calder", sitetest.OtherLeader, "", account.Leader)
	w.l.Account("Oren Vale", onCallElsewhere, "", account.OnCall)
	w.l.Account("Teo Marsh", sitetest.Safety, "", account.Safety)
	w.l.Account("Rosa Lind", sitetest.Trainer, "", account.Trainer)
	const board = privacy.AsOtherLeader
	for _, x := range []struct {
		name, email string
		as          []privacy.Capacity
	}{
		{"leader of the hike", "leader1@example.org", []privacy.Capacity{privacy.AsLeader, board}},
		{"sweep", "leader2@example.org", []privacy.Capacity{privacy.AsSweep, board}},
		{"leader of another hike", sitetest.OtherLeader, []privacy.Capacity{board}},
		{"on-call", onCall, []privacy.Capacity{privacy.AsOnCall, board}},
		{"on-call of other hikes", onCallElsewhere, []privacy.Capacity{board}},
		{"coordinator", sitetest.Coordinator, []privacy.Capacity{privacy.AsCoordinator}},
		{"safety officer", sitetest.Safety, []privacy.Capacity{privacy.AsSafety}},
		{"trainer", sitetest.Trainer, []privacy.Capacity{privacy.AsTrainer}},
	} {
		w.readers = append(w.readers, &reader{name: x.name, v: w.site.SignIn(w.t, x.email), as: x.as})
	}
	w.readers = append(w.readers, &reader{name: "anonymous", v: w.site.Visitor(w.t)})
}

func (w *walk) reader(name string) *reader {
	w.t.Helper()
	i := slices.IndexFunc(w.readers, func(r *reader) bool { return r.name == name })
	if i < 0 {
		w.t.Fatalf("no reader is called %q", name)
	}
	return w.readers[i]
}

// addLinked adds a reader who has links and nothing else.
func (w *walk) addLinked(name string, links map[string]string, change func(*reader)) {
	r := &reader{name: name, v: w.site.Visitor(w.t), links: links, linked: true}
	if change != nil {
		change(r)
	}
	w.readers = append(w.readers, r)
	w.private = append(w.private, slices.Collect(maps.Values(links))...)
}

func (w *walk) addLinkHolders() {
	for name, person := range map[string]string{
		"participant": sitetest.Grown, "another participant": sitetest.Asked, "one turned away": sitetest.Turned,
	} {
		w.addLinked(name, map[string]string{"place": w.Links[person].Reveal()}, func(r *reader) { r.own = person })
	}
	store := w.l.DB.AccountStore()
	link := func(to account.Target, expires time.Time) string {
		secret, hash := sitetest.NewLink(w.t)
		err := store.AddLink(context.Background(), account.Link{Hash: hash, Target: to, Expires: expires})
		if err != nil {
			w.t.Fatal(err)
		}
		return secret.Reveal()
	}
	feed, hash := sitetest.NewLink(w.t)
	of := account.Feed{Owner: account.ID(w.Hike.Staff[0].Account), Name: "Phone", Made: w.clock.Now()}
	if err := store.AddFeed(context.Background(), of, hash); err != nil {
		w.t.Fatal(err)
	}
	choice, err := w.l.DB.Choice(context.Background(), "leader1@example.org", message.Papers)
	if err != nil {
		w.t.Fatal(err)
	}
	w.addLinked("somebody asked, invited, with a feed and a mail about certificates", map[string]string{
		"asked":   link(account.AskedTarget(w.Hike.ID, w.Hike.Staff[2].Person), w.Hike.Start),
		"invited": link(account.InvitationTarget(1), w.Hike.Start.Add(200*time.Hour)),
		"feed":    feed.Reveal(),
		"mail":    choice.Token,
	}, nil)
}

// linkIn finds the secret of the link of that kind in the newest mail to an address.
func (w *walk) linkIn(to, kind string) string {
	w.t.Helper()
	link := regexp.MustCompile("/" + kind + "/([a-z2-7]{32})")
	for end := time.Now().Add(sitetest.Patience); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		for _, m := range w.site.Mails(w.t) {
			if found := link.FindStringSubmatch(m.Text); m.To == to && found != nil {
				w.private = append(w.private, found[1])
				return found[1]
			}
		}
	}
	w.t.Fatalf("no mail to %s has a link to /%s/", to, kind)
	return ""
}

// reach brings the site to a stage: what people and the site itself do until then.
func (w *walk) reach(at stage) {
	w.t.Helper()
	from := func(d time.Duration) { w.clock.Set(w.Hike.Start.Add(d)) }
	switch at.letter {
	case "b":
		from(-70 * time.Hour)
		if err := w.site.ProcessWaitlists(context.Background()); err != nil {
			w.t.Fatal(err)
		}
		w.addLinked("emergency contact", map[string]string{"contact": w.linkIn("kin1@example.net", "contact")},
			func(r *reader) { r.knows = []string{"Zephyrine Quillfeather"} })
		w.site.Visitor(w.t).Post("/lost-link", url.Values{"email": {"planted2@example.net"}})
		w.linkIn("planted2@example.net", "place")
	case "e":
		from(-20 * time.Hour)
		shorter := url.Values{"outcome": {"shorter"}, "turn": {"the fork"},
			"turn_distance": {"0.9"}, "turn_unit": {"km"},
			"reason": {"Known way."}}
		w.reader("coordinator").v.Post("/hikes/1/decide", shorter).Want(http.StatusSeeOther)
		w.addLinked("told by mail", map[string]string{"updates": w.linkIn("planted1@example.net", "updates")},
			func(r *reader) { r.own = sitetest.Grown })
		w.addDayLink("sweep's day link", "sweep", privacy.AsSweep)
		w.addDayLink("on-call's day link", "on-call", privacy.AsOnCall)
	case "o":
		w.SetOut()
		from(10 * time.Minute)
		w.l.Watch(w.clock.Now)
	case "a":
		from(245 * time.Minute)
		w.l.Watch(w.clock.Now)
		w.addAlarmLink("on-call by an alarm's link", "oncall1@example.org", privacy.AsOnCall)
		w.addAlarmLink("coordinator by an alarm's link", sitetest.Coordinator, privacy.AsCoordinator)
	case "x":
		w.ComeBack(w.t, w.Hike.Start.Add(300*time.Minute))
	}
	from(at.at)
}

func (w *walk) addAlarmLink(name, email string, as privacy.Capacity) {
	w.addLinked(name, map[string]string{"watch": w.linkIn(email, "watch")},
		func(r *reader) { r.as = []privacy.Capacity{as} })
}

// addDayLink makes a link for the day and opens it once, as on a phone. Its holder reads
// pages of signed-in people too.
func (w *walk) addDayLink(name, part string, as privacy.Capacity) {
	w.t.Helper()
	path := w.reader("leader of the hike").v.MakeDayLink(name, part)
	v := w.site.Visitor(w.t)
	v.Get(path).Want(http.StatusSeeOther)
	secret := strings.TrimPrefix(path, "/day/")
	w.private = append(w.private, secret)
	w.readers = append(w.readers, &reader{
		name:  name,
		v:     v,
		as:    []privacy.Capacity{as},
		links: map[string]string{"day": secret},
	})
}

// path fills in a pattern for a reader: their own link where they have one.
func (w *walk) path(r *reader, pattern string) string {
	secret := strings.Repeat("a", 32)
	if own := r.links[firstWord(pattern)]; own != "" {
		secret = own
	}
	path := strings.NewReplacer(
		"{hike}", "1", "{trail}", "1", "{person}", sitetest.Grown, "{account}", "2", "{secret}", secret,
	).Replace(pattern)
	if pattern == "/board/today" {
		path += "?day=" + w.Hike.Start.Format(time.DateOnly)
	}
	return path
}

func firstWord(pattern string) string { return strings.Split(pattern, "/")[1] }

// get reads a page, of a stream its first event.
func (w *walk) get(r *reader, path string) (status int, body string) {
	w.t.Helper()
	ctx, stop := context.WithTimeout(context.Background(), sitetest.Patience)
	defer stop()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, w.site.URL+path, nil)
	if err != nil {
		w.t.Fatal(err)
	}
	res, err := r.v.Client().Do(req)
	if err != nil {
		w.t.Fatal(err)
	}
	defer res.Body.Close()
	var b strings.Builder
	lines := bufio.NewReader(res.Body)
	for {
		line, err := lines.ReadString('\n')
		b.WriteString(line)
		if err == io.EOF || line == "\n" && res.Header.Get("Content-Type") == "text/event-stream" {
			unfolded := strings.ReplaceAll(b.String(), "\r\n ", "") // RFC 5545, section 3.1: long lines of a calendar
			return res.StatusCode, html.UnescapeString(unfolded)
		}
		if err != nil {
			w.t.Fatal(err)
		}
	}
}

// changes reports whether a page can change with the life of the hike. The others are read
// once, when the table shows most.
func changes(pattern string) bool {
	return strings.Contains(pattern, "{hike}") || strings.Contains(pattern, "{secret}") ||
		strings.HasPrefix(pattern, "/board") || pattern == "/outbox" || pattern == "/desk"
}

// skips reports whether a reader leaves a page out at a stage. In alarm nothing is left out,
// but in the short form by readers who have nothing but a link: what they read elsewhere the
// anonymous reader reads too.
func skips(r *reader, at stage, pattern string) bool {
	elsewhere := r.linked && r.links[firstWord(pattern)] == ""
	if at.letter == "a" {
		return elsewhere && !sitetest.Long()
	}
	return elsewhere || !changes(pattern) || strings.HasSuffix(pattern, "/stream")
}

// walk has a reader open every page at one stage.
func (w *walk) walk(r *reader, at stage) {
	if testing.Short() && at.brief {
		return
	}
	table := shownBy()
	for _, route := range web.AllRoutes() {
		pattern := route.Pattern
		if route.Method != http.MethodGet || skips(r, at, pattern) {
			continue
		}
		status, body := w.get(r, w.path(r, pattern))
		if status >= http.StatusInternalServerError {
			w.t.Errorf("%s, %s, GET %s: status %d", at.name, r.name, pattern, status)
		}
		w.pages++
		if status == http.StatusOK || firstWord(pattern) == "day" && status == http.StatusSeeOther {
			w.opened[pattern] = true
		}
		w.check(r, at, pattern, status, body, table[pattern])
	}
}
