package main

import (
	"bufio"
	"context"
	"crypto/rand"
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
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/web"
)

// standing is what somebody is to the hike that is walked, and how they come to its pages.
type standing struct {
	name string
	c    *http.Client
	as   []privacy.Capacity
	// own is the person whose private link they hold; secrets are the links themselves, by
	// the first word of their address.
	own     string
	secrets map[string]string
	// knows are texts that they know without the table: whom a contact stands for.
	knows []string
	// linked says that they have nothing but the link: elsewhere they are anybody.
	linked bool
}

// stage is a time in the life of the hike, with the window of the table written by hand.
type stage struct {
	letter, name string
	at           time.Duration // from the start
	window       privacy.Window
}

func stages() []stage {
	return []stage{
		{"b", "four days before", -96 * time.Hour, privacy.Window{Ahead: true}},
		{"e", "the evening before", -12 * time.Hour, privacy.Window{Ahead: true, Day: true}},
		{"o", "out and on time", time.Hour, privacy.Window{Day: true, Watched: true}},
		{"a", "in alarm", 250 * time.Minute, privacy.Window{Day: true, Watched: true, Alarm: true}},
		{"x", "closed, three days after", 72 * time.Hour, privacy.Window{}},
	}
}

// sightWalk is the site with the planted hike, and whoever walks over it.
type sightWalk struct {
	t *testing.T
	*lookout
	p         program
	server    *web.Server
	clock     *settable
	h         hike.Hike
	fields    []planted
	secrets   map[string]account.Secret // of the places
	private   []string                  // links that nobody reads but their holders
	standings []standing
	pages     int
	opened    map[string]bool // patterns that somebody was let into
	met       map[string]bool // what a page was due to show, and did
}

func newSecret(t testing.TB) (account.Secret, account.Hash) {
	t.Helper()
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return secret, hash
}

func newSightWalk(t *testing.T) *sightWalk {
	t.Helper()
	w := &sightWalk{t: t, lookout: newLookout(t), opened: map[string]bool{}, met: map[string]bool{}}
	// Seven in the morning at the trailhead, so that the hike has one date whenever the test runs.
	start := time.Now().UTC().Truncate(24 * time.Hour).Add(14*24*time.Hour + 14*time.Hour)
	w.clock = &settable{now: start.Add(-96 * time.Hour)}
	w.p, w.server = w.siteWith(w.clock.get)
	w.h = w.post(1, start)
	w.acceptAll()
	var walkers []signup.SignUp
	walkers, w.secrets = w.plant(t, w.h)
	w.fields = plantedFields(walkers)
	w.signEverybodyIn()
	w.linkHolders()
	return w
}

// acceptAll lets the staff say that they come.
func (w *sightWalk) acceptAll() {
	err := w.db.ChangeHike(context.Background(), w.h.ID, func(h *hike.Hike) error {
		for i := range h.Staff {
			h.Staff[i].Answer, h.Staff[i].Answered = team.AnswerAccepted, w.clock.get()
		}
		return nil
	})
	if err != nil {
		w.t.Fatal(err)
	}
}

// signEverybodyIn makes the standings of those with accounts. What each is to the hike is
// written here by hand, apart from the code that finds it out.
func (w *sightWalk) signEverybodyIn() {
	w.account("On-call 01", "oncall1@example.org", "", account.OnCall)
	w.account("Ines Calder", "elsewhere@example.org", "", account.Leader)
	w.account("Oren Vale", "oncallelse@example.org", "", account.OnCall)
	w.account("Teo Marsh", "safety@example.org", "", account.Safety)
	w.account("Rosa Lind", "trainer@example.org", "", account.Trainer)
	board := privacy.AsOtherLeader
	for _, x := range []struct {
		name, mail string
		as         []privacy.Capacity
	}{
		{"leader of the hike", "leader1@example.org", []privacy.Capacity{privacy.AsLeader, board}},
		{"sweep", "leader2@example.org", []privacy.Capacity{privacy.AsSweep, board}},
		{"leader of another hike", "elsewhere@example.org", []privacy.Capacity{board}},
		{"on-call", "oncall1@example.org", []privacy.Capacity{privacy.AsOnCall, board}},
		{"on-call of other hikes", "oncallelse@example.org", []privacy.Capacity{board}},
		{"coordinator", coordinatorMail, []privacy.Capacity{privacy.AsCoordinator}},
		{"safety officer", "safety@example.org", []privacy.Capacity{privacy.AsSafety}},
		{"trainer", "trainer@example.org", []privacy.Capacity{privacy.AsTrainer}},
	} {
		w.letIn(x.mail)
		w.standings = append(w.standings, standing{name: x.name, c: w.p.signIn(w.t, x.mail), as: x.as})
	}
	w.standings = append(w.standings, standing{name: "anonymous", c: client(w.t)})
}

func (w *sightWalk) of(name string) *standing {
	w.t.Helper()
	i := slices.IndexFunc(w.standings, func(s standing) bool { return s.name == name })
	if i < 0 {
		w.t.Fatalf("nobody is %q", name)
	}
	return &w.standings[i]
}

// hold adds somebody who has a link and nothing else.
func (w *sightWalk) hold(name, own string, as []privacy.Capacity, knows []string, secrets map[string]string) {
	w.standings = append(w.standings, standing{name: name, c: client(w.t), as: as, own: own, knows: knows, secrets: secrets, linked: true})
	for _, s := range secrets {
		w.private = append(w.private, s)
	}
}

func (w *sightWalk) linkHolders() {
	for name, who := range map[string]string{"participant": grown, "another participant": asked, "one turned away": turned} {
		w.hold(name, who, nil, nil, map[string]string{"place": w.secrets[who].Reveal()})
	}
	asking, hash := newSecret(w.t)
	w.addLink(account.Link{Hash: hash, Target: account.AskedTarget(w.h.ID, w.h.Staff[2].Person), Expires: w.h.Start})
	invited, hash := newSecret(w.t)
	w.addLink(account.Link{Hash: hash, Target: account.InvitationTarget(1), Expires: w.h.Start.Add(200 * time.Hour)})
	feed, hash := newSecret(w.t)
	if err := w.db.AccountStore().AddFeed(context.Background(), account.Feed{Owner: account.ID(w.h.Staff[0].Account), Name: "Phone", Made: w.clock.get()}, hash); err != nil {
		w.t.Fatal(err)
	}
	choice, err := w.db.Choice(context.Background(), "leader1@example.org", message.Papers)
	if err != nil {
		w.t.Fatal(err)
	}
	w.hold("somebody asked, invited, with a feed and a mail of certificates", "", nil, nil, map[string]string{"asked": asking.Reveal(), "invited": invited.Reveal(), "feed": feed.Reveal(), "mail": choice.Token})
}

func (w *sightWalk) addLink(l account.Link) {
	if err := w.db.AccountStore().AddLink(context.Background(), l); err != nil {
		w.t.Fatal(err)
	}
}

// linkIn finds the private link in the newest mail to an address, and keeps it private.
func (w *sightWalk) linkIn(to, word string) string {
	w.t.Helper()
	find := regexp.MustCompile("/" + word + "/([a-z2-7]{32})")
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		mails, err := w.db.Outbox().Recent(context.Background(), 1000)
		if err != nil {
			w.t.Fatal(err)
		}
		for _, m := range mails {
			if found := find.FindStringSubmatch(m.Text); m.To == to && found != nil {
				w.private = append(w.private, found[1])
				return found[1]
			}
		}
	}
	w.t.Fatalf("no mail to %s has a link to /%s/", to, word)
	return ""
}

// path fills in a pattern for somebody: their own link where they have one.
func (w *sightWalk) path(s standing, pattern string) string {
	secret := strings.Repeat("a", 32)
	if word := strings.Split(pattern, "/")[1]; s.secrets[word] != "" {
		secret = s.secrets[word]
	}
	path := strings.NewReplacer("{hike}", "1", "{trail}", "1", "{person}", grown, "{account}", "2", "{secret}", secret).Replace(pattern)
	if pattern == "/board/today" {
		path += "?day=" + w.h.Start.Format(time.DateOnly)
	}
	return path
}

// read gets a page, of a stream its first event.
func (w *sightWalk) read(s standing, path string) (status int, body string) {
	ctx, stop := context.WithTimeout(context.Background(), 30*time.Second)
	defer stop()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, w.p.base+path, nil)
	if err != nil {
		w.t.Fatal(err)
	}
	res, err := s.c.Do(req)
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

// aboutHike reports whether a page can change with the life of the hike. The others are
// walked once, when the table shows most.
func aboutHike(pattern string) bool {
	return strings.Contains(pattern, "{hike}") || strings.Contains(pattern, "{secret}") || strings.HasPrefix(pattern, "/board") || pattern == "/outbox" || pattern == "/desk"
}

// walk is one standing over every page at one stage.
func (w *sightWalk) walk(s standing, at stage, routes []web.Route) {
	table := walkTable()
	for _, r := range routes {
		word := strings.Split(r.Pattern, "/")[1]
		switch {
		case r.Method != http.MethodGet,
			at.letter != "a" && !aboutHike(r.Pattern),
			at.letter != "a" && s.linked && s.secrets[word] == "",
			at.letter != "a" && strings.HasSuffix(r.Pattern, "/stream"):
			continue
		}
		status, body := w.read(s, w.path(s, r.Pattern))
		if status >= http.StatusInternalServerError {
			w.t.Errorf("%s, %s, GET %s: status %d", at.name, s.name, r.Pattern, status)
		}
		w.pages++
		w.opened[r.Pattern] = w.opened[r.Pattern] || status == http.StatusOK || word == "day" && status == http.StatusSeeOther
		w.judge(s, at, r.Pattern, status, body, table[r.Pattern])
	}
}

// judge holds a page against the table, field by field: what it shows and may not, and what
// it is there to show and does not.
func (w *sightWalk) judge(s standing, at stage, pattern string, status int, body string, shows []mustShow) {
	w.t.Helper()
	sight := privacy.Visibility{As: s.as, Window: at.window}
	for _, f := range w.fields {
		shown := strings.Contains(body, f.text)
		may := sight.CanSee(f.kind) || f.of == s.own || slices.Contains(s.knows, f.text) || rings(sight, f, pattern)
		if shown && !may {
			w.t.Errorf("LEAK %s: %s, GET %s shows the %s %q (%s)", at.name, s.name, pattern, f.what, f.text, f.kind)
		}
		due := may && status == http.StatusOK && s.due(f, at, shows)
		if due && shown {
			w.met[pattern+" "+f.what] = true
		}
		if due && !shown {
			w.t.Errorf("MISSING %s: %s, GET %s does not show the %s %q (%s)", at.name, s.name, pattern, f.what, f.text, f.kind)
		}
	}
	for _, secret := range w.private {
		if held := slices.Contains(slices.Collect(maps.Values(s.secrets)), secret); strings.Contains(body, secret) && !held {
			w.t.Errorf("LEAK %s: %s, GET %s shows a private link of somebody else", at.name, s.name, pattern)
		}
	}
}

// rings is the one exception of the table: the number of somebody with a talk before them.
func rings(sight privacy.Visibility, f planted, pattern string) bool {
	return f.of == asked && f.what == "mobile" && strings.HasPrefix(pattern, "/hikes/{hike}/screening") && sight.CanPhone()
}

// due reports whether the page is there to show the field now.
func (s standing) due(f planted, at stage, shows []mustShow) bool {
	return slices.ContainsFunc(shows, func(m mustShow) bool {
		of := slices.Contains(m.of, f.of) || s.own == f.of && slices.Contains(m.of, "own")
		return of && strings.Contains(m.stages, at.letter) && slices.Contains(m.what, f.what)
	})
}

// reach brings the site to a stage: what people and the site itself do until then.
func (w *sightWalk) reach(at stage) {
	w.t.Helper()
	ctx := context.Background()
	from := func(d time.Duration) { w.clock.set(w.h.Start.Add(d)) }
	switch at.letter {
	case "b":
		from(-70 * time.Hour)
		if err := w.server.Notifier().ProcessWaitlists(ctx); err != nil {
			w.t.Fatal(err)
		}
		w.hold("emergency contact", "", nil, []string{"Zephyrine Quillfeather"}, map[string]string{"contact": w.linkIn("kin1@example.net", "contact")})
		post(w.t, client(w.t), w.p.base+"/lost-link", url.Values{"email": {"planted2@example.net"}})
		w.linkIn("planted2@example.net", "place")
	case "e":
		from(-20 * time.Hour)
		status, page := w.p.post(w.t, w.of("coordinator").c, "/hikes/1/decide", url.Values{"outcome": {"shorter"}, "turn": {"the fork"}, "reason": {"Known way."}})
		if status != http.StatusSeeOther {
			w.t.Fatalf("deciding: status %d: %s", status, page)
		}
		w.hold("told by mail", grown, nil, nil, map[string]string{"updates": w.linkIn("planted1@example.net", "updates")})
		w.dayLink("sweep's day link", "sweep", privacy.AsSweep)
		w.dayLink("on-call's day link", "on-call", privacy.AsOnCall)
	case "o":
		w.leave(w.h)
		from(10 * time.Minute)
		w.watch()
	case "a":
		from(245 * time.Minute)
		w.watch()
		w.hold("on-call by an alarm's link", "", []privacy.Capacity{privacy.AsOnCall}, nil, map[string]string{"watch": w.linkIn("oncall1@example.org", "watch")})
		w.hold("coordinator by an alarm's link", "", []privacy.Capacity{privacy.AsCoordinator}, nil, map[string]string{"watch": w.linkIn(coordinatorMail, "watch")})
	case "x":
		w.comeBack(w.h, w.h.Start.Add(300*time.Minute))
	}
	from(at.at)
}

func (w *sightWalk) watch() {
	w.t.Helper()
	if err := w.watcher(w.clock.get).Watch(context.Background()); err != nil {
		w.t.Fatal(err)
	}
}

// dayLink makes a link for the day and opens it once, as on a phone.
func (w *sightWalk) dayLink(name, part string, as privacy.Capacity) {
	w.t.Helper()
	_, page := w.p.post(w.t, w.of("leader of the hike").c, "/hikes/1/day-links", url.Values{"link_name": {name}, "link_part": {part}})
	found := regexp.MustCompile(`/day/([a-z2-7]{32})`).FindStringSubmatch(page)
	if found == nil {
		w.t.Fatalf("no link for %s: %s", name, page)
	}
	s := standing{name: name, c: client(w.t), as: []privacy.Capacity{as}, secrets: map[string]string{"day": found[1]}}
	w.private = append(w.private, found[1])
	w.read(s, "/day/"+found[1])
	w.standings = append(w.standings, s)
}
