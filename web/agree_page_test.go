package web_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"net/http"
	"regexp"
	"strings"
	"time"

	"github.com/PuerkitoBio/goquery"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/phone"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/watch"
)

// surface is one place where facts of a hike are shown to somebody.
type surface struct {
	path, within string // within is the part of the page that is about the hike
	who          *sitetest.Visitor
	must         []string // the facts that it marks whenever there is a plan
	names        bool     // it names everybody who is missing
	live         bool     // it is drawn a moment after a change
}

// surfaces are the pages of a hike at this moment.
func (a *agreement) surfaces(p *played) []surface {
	base, row := fmt.Sprintf("/hikes/%d", p.h.ID), fmt.Sprintf("#party-%d", p.h.ID)
	times := []string{format.FactExpected, format.FactWatch, format.FactCall}
	back := []string{format.FactExpected, format.FactLatest}
	list := []surface{
		{path: base + "/watch", within: "main", must: append(times, format.FactStart), names: true},
		{path: base + "/watch/stream", within: "body", must: append(times, format.FactStart), names: true},
		{path: base + "/roll", within: "main", must: times},
		{path: base + "/trip-sheet", within: "main", must: times},
		{path: base + "/manage", within: "main", must: append(back, format.FactWatch, format.FactCall)},
		{path: base + "/hand-over", within: "main", names: true},
		{path: base + "/land-manager", within: "main"},
		{path: base, within: "main", must: back, who: a.anybody},
		{path: p.place, within: "main", must: back, who: a.anybody},
		{path: p.place + "/data.json", who: a.anybody},
		{path: "/desk", within: fmt.Sprintf(`li:has(a[href="%s/manage"])`, base)},
	}
	if p.h.State == hike.Posted && a.clock.Now().Before(p.h.Start) {
		list = append(list, surface{path: base + "/hike.ics", who: a.anybody},
			surface{path: p.place + "/hike.ics", who: a.anybody})
	}
	if p.updates != "" {
		list = append(list, surface{path: p.updates, within: "main", who: a.anybody})
	}
	if onBoard(p.h, a.clock.Now()) {
		shown := []string{format.FactExpected, format.FactWatch, format.FactOut, format.FactPhase}
		for _, path := range []string{"/board", "/board/wall", "/board/stream"} {
			list = append(list, surface{path: path, within: row, must: shown, names: true, live: true})
		}
	}
	return list
}

// onBoard reports whether the hike must be on the board: from its planned start on, or once it left.
func onBoard(h hike.Hike, now time.Time) bool {
	return h.State == hike.Out || h.State == hike.Back || !now.Before(h.Start)
}

// kind is the path of a surface without what names the hike or the person.
func (s surface) kind() string {
	parts := strings.Split(s.path, "/")
	if len(parts) > 2 && parts[1] != "board" {
		parts[2] = "*"
	}
	return strings.Join(parts, "/")
}

// pages holds surfaces to the case. Those that are drawn after a change get the time to do so.
func (a *agreement) pages(c watch.Case, list []surface) {
	a.t.Helper()
	for _, s := range list {
		wrong := a.page(s, c)
		for end := time.Now().Add(3 * time.Second); s.live && len(wrong) > 0 && time.Now().Before(end); {
			time.Sleep(20 * time.Millisecond)
			wrong = a.page(s, c)
		}
		a.differs(s.path, c, wrong)
		a.seen["surface "+s.kind()]++
	}
}

// page lists what one surface says otherwise than the case.
func (a *agreement) page(s surface, c watch.Case) []string {
	a.t.Helper()
	switch {
	case strings.HasSuffix(s.path, ".json"):
		return a.ownData(s, c)
	case strings.HasSuffix(s.path, ".ics"):
		return a.calendar(s, c)
	}
	doc := a.get(s)
	part, now := doc.Find(s.within), a.clock.Now()
	text := a.textOf(part)
	wrong := append(wrongMarks(part, c, now, a.seen), wrongWords(text, c, now, a.seen)...)
	for _, fact := range s.must {
		if part.Find(`[data-fact="`+fact+`"]`).Length() == 0 {
			wrong = append(wrong, "does not tell "+fact)
		}
	}
	if s.names {
		wrong = append(wrong, unnamed(text, c, a.seen)...)
	}
	switch {
	case strings.HasSuffix(s.path, "/roll"):
		wrong = append(wrong, a.offline(part, c)...)
	case s.path == "/desk":
		wrong = append(wrong, wrongTask(text, c, now)...)
	}
	return wrong
}

var tags = regexp.MustCompile(`<[^>]*>`)

// textOf is what a part of a page says, with a space between its elements.
func (a *agreement) textOf(part *goquery.Selection) string {
	a.t.Helper()
	if part.Length() == 0 {
		return ""
	}
	page, err := part.Html()
	if err != nil {
		a.t.Fatal(err)
	}
	return oneLine(html.UnescapeString(tags.ReplaceAllString(page, " ")))
}

// get reads a page, or the first drawing of a stream.
func (a *agreement) get(s surface) *goquery.Document {
	a.t.Helper()
	who := s.who
	if who == nil {
		who = a.staff
	}
	body := ""
	if strings.HasSuffix(s.path, "/stream") {
		body = a.firstEvent(who, s.path)
	} else {
		body = who.Get(s.path).Want(http.StatusOK).Body
	}
	doc, err := goquery.NewDocumentFromReader(strings.NewReader(body))
	if err != nil {
		a.t.Fatal(err)
	}
	return doc
}

// firstEvent is the first drawing that a stream sends.
func (a *agreement) firstEvent(who *sitetest.Visitor, path string) string {
	a.t.Helper()
	ctx, stop := context.WithTimeout(a.t.Context(), sitetest.Patience)
	defer stop()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, a.site.URL+path, nil)
	if err != nil {
		a.t.Fatal(err)
	}
	answer, err := who.Client().Do(r)
	if err != nil {
		a.t.Fatal(err)
	}
	defer answer.Body.Close()
	var drawing strings.Builder
	lines := bufio.NewScanner(answer.Body)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		text, data := strings.CutPrefix(lines.Text(), "data: ")
		switch {
		case data:
			drawing.WriteString(text + "\n")
		case lines.Text() == "":
			return drawing.String()
		}
	}
	a.t.Fatalf("%s sent nothing: %v", path, lines.Err())
	return ""
}

// wrongTask holds the desk to the phase: an alarm is the next thing to do.
func wrongTask(text string, c watch.Case, now time.Time) []string {
	if phase := c.Phase(now); phase.Alarm() && !strings.Contains(text, "Look at the board: "+string(phase)) {
		return []string{fmt.Sprintf("the phase is %s, and the desk says %q", phase, text)}
	}
	return nil
}

// offline holds what the roll page gives a phone to the case: the phone folds it by itself.
func (a *agreement) offline(part *goquery.Selection, c watch.Case) []string {
	a.t.Helper()
	var given map[string]json.RawMessage
	text := part.Find("#roll").AttrOr("data-offline", "")
	if err := json.Unmarshal([]byte(text), &given); err != nil {
		a.t.Fatalf("what the roll gives a phone: %v: %q", err, text)
	}
	now, err := json.Marshal(a.clock.Now())
	if err != nil {
		a.t.Fatal(err)
	}
	given["now"] = now
	raw, err := json.Marshal(given)
	if err != nil {
		a.t.Fatal(err)
	}
	a.seen["the phone, from the roll's page"]++
	return a.wrongAnswer(phone.Answer(raw), c)
}

// ownData holds the file that a person takes away to the case.
func (a *agreement) ownData(s surface, c watch.Case) []string {
	a.t.Helper()
	var file struct {
		Hike string    `json:"hike"`
		Meet time.Time `json:"meet"`
	}
	page := s.who.Get(s.path).Want(http.StatusOK)
	if err := json.Unmarshal([]byte(page.Body), &file); err != nil {
		a.t.Fatal(err)
	}
	if file.Hike != c.Hike.Title || !file.Meet.Equal(c.Hike.Meet) {
		return []string{fmt.Sprintf("%+v, and %q at %v by the case", file, c.Hike.Title, c.Hike.Meet)}
	}
	return nil
}

// calendar holds the calendar entry of a hike that is still to leave to the case.
func (a *agreement) calendar(s surface, c watch.Case) (wrong []string) {
	a.t.Helper()
	entry := s.who.Get(s.path).Event()
	begin, err := entry.DateTimeStart(time.UTC)
	if err != nil || !begin.Equal(c.Hike.Meet) {
		wrong = append(wrong, fmt.Sprintf("begins %v (%v), they meet at %v", begin, err, c.Hike.Meet))
	}
	end, err := entry.DateTimeEnd(time.UTC)
	if late := c.Clocks().Latest; err != nil || end.Sub(late).Abs() >= time.Second {
		wrong = append(wrong, fmt.Sprintf("ends %v (%v), the late end is %v", end, err, late))
	}
	return wrong
}
