package web_test

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/PuerkitoBio/goquery"
	"github.com/google/uuid"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/roll"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/watch"
)

// agreement holds every surface of a hike to its case: what a page, paper, mail or file says must
// be what watch.Case says at that moment.
type agreement struct {
	*sitetest.Lookout
	t     *testing.T
	clock *sitetest.Clock
	site  *sitetest.Site
	v     *sitetest.Visitor
	facts int // how many were compared
	names int
}

// seededHikes is how many hikes the agreement test plays.
func seededHikes() int {
	switch {
	case sitetest.Long():
		return 500
	case testing.Short():
		return 15
	}
	return 100
}

// Two phones record splits, early pairs, missing and found people, delays, late and doubled records
// and undos, with wrong clocks, on hikes of every kind. After each step every surface agrees with the
// case.
func TestEverySurfaceAgreesWithTheCase(t *testing.T) {
	t.Parallel()
	a := newAgreement(t)
	dice := rand.New(rand.NewPCG(1910, 4))
	begin := time.Now().Add(-72 * time.Hour).Truncate(time.Minute).UTC()
	for n := range seededHikes() {
		a.play(n, begin.Add(time.Duration(n%200)*17*time.Minute), dice)
		if t.Failed() {
			t.Fatalf("hike %d of %d disagrees", n, seededHikes())
		}
	}
	if a.facts < 10*seededHikes() || a.names < seededHikes()/10 {
		t.Errorf("only %d facts and %d names were compared: the test shows little", a.facts, a.names)
	}
	t.Logf("%d hikes, %d facts and %d names compared", seededHikes(), a.facts, a.names)
}

func newAgreement(t *testing.T) *agreement {
	l := sitetest.NewLookout(t)
	a := &agreement{Lookout: l, t: t, clock: sitetest.NewClock(time.Now())}
	a.site = l.Pages(a.clock.Now)
	a.v = a.site.SignIn(t, sitetest.Coordinator)
	return a
}

// play takes one hike through a day, and compares after each record.
func (a *agreement) play(n int, start time.Time, dice *rand.Rand) {
	a.t.Helper()
	h := a.Post(n, start)
	p := newPlayed(h, dice)
	a.clock.Set(start.Add(-10 * time.Minute))
	a.compare(h, dice)
	for range 4 + dice.IntN(6) {
		events, at := p.next()
		if _, err := a.DB.Append(a.t.Context(), h.ID, events, at, roll.NoteDeparture); err != nil {
			a.t.Fatal(err)
		}
		a.clock.Set(at.Add(time.Duration(dice.IntN(3)) * time.Minute))
		a.compare(h, dice)
	}
	a.Back(h, a.clock.Now())
	a.compare(h, dice)
	sitetest.ChangeHike(a.t, a.DB, h.ID, func(h *hike.Hike) { h.State = hike.Closed }) // off the board
}

// surface is one place where facts of a hike are shown. within is the part of the page that is about
// the hike.
type surface struct{ path, within string }

func surfaces(h hike.Hike) []surface {
	base := fmt.Sprintf("/hikes/%d", h.ID)
	return []surface{
		{base + "/watch", "main"}, {"/board", fmt.Sprintf("#party-%d", h.ID)}, {base + "/roll", "main"},
		{base + "/trip-sheet", "main"}, {base + "/manage", "main"}, {base, "main"}, {base + "/hand-over", "main"},
	}
}

// compare holds the surfaces of a hike, drawn by lot, to its case at this moment.
func (a *agreement) compare(h hike.Hike, dice *rand.Rand) {
	a.t.Helper()
	c := a.caseOf(h)
	all := surfaces(h)
	if dice.IntN(4) > 0 { // most steps look at two of them
		dice.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		all = all[:2]
	}
	for _, s := range all {
		page := a.get(s, c)
		a.facts += a.holds(s.path, page.Find(s.within), c)
		a.names += a.namesTheMissing(s, page.Text(s.within), c)
	}
	a.calendarEnds(h, c)
}

// get reads a page. The board is told of a change by the database, a moment later.
func (a *agreement) get(s surface, c watch.Case) sitetest.Page {
	a.t.Helper()
	page := a.v.Get(s.path).Want(http.StatusOK)
	for end := time.Now().Add(3 * time.Second); s.path == "/board" && time.Now().Before(end); {
		row := page.Find(s.within)
		listed := row.Length() > 0 || !a.onBoard(c)
		if listed && len(wrongFacts(row, c, a.clock.Now())) == 0 && a.allNamed(page.Text(s.within), c) {
			break
		}
		time.Sleep(20 * time.Millisecond)
		page = a.v.Get(s.path).Want(http.StatusOK)
	}
	return page
}

// onBoard reports whether the hike must be on the board.
func (a *agreement) onBoard(c watch.Case) bool {
	return c.Hike.State == hike.Out || c.Hike.State == hike.Back || !a.clock.Now().Before(c.Hike.Start)
}

func (a *agreement) allNamed(text string, c watch.Case) bool {
	return !slices.ContainsFunc(missingNames(c), func(name string) bool { return !strings.Contains(text, name) })
}

func missingNames(c watch.Case) []string {
	search, open := c.State.Searching()
	if !open {
		return nil
	}
	ids, _ := search.Open()
	return c.State.Names(ids)
}

// caseOf is the case, from what is stored.
func (a *agreement) caseOf(h hike.Hike) watch.Case {
	a.t.Helper()
	rec, err := a.DB.Record(a.t.Context(), h.ID)
	if err != nil {
		a.t.Fatal(err)
	}
	plan, err := a.DB.LatestPlan(a.t.Context(), h.ID)
	if err != nil {
		a.t.Fatal(err)
	}
	return watch.CaseOf(roll.Watched{Record: rec, Plan: &plan.Plan}, nil)
}

// holds compares the marked facts of a page with the case, and returns how many there are.
func (a *agreement) holds(path string, part *goquery.Selection, c watch.Case) int {
	a.t.Helper()
	for _, wrong := range wrongFacts(part, c, a.clock.Now()) {
		a.t.Errorf("%s at %s: %s; records: %s", path, a.clock.Now().Format(time.TimeOnly), wrong, kinds(c.Events))
	}
	return part.Find("[data-fact]").Length()
}

// wrongFacts lists the marked facts that differ from the case.
func wrongFacts(part *goquery.Selection, c watch.Case, now time.Time) []string {
	zone, k := c.Hike.Start.Location(), c.Clocks()
	want := map[string]string{
		format.FactStart: format.Clock(k.Start, zone), format.FactExpected: format.Clock(k.Expected, zone),
		format.FactLatest: format.Clock(k.Latest, zone),
		format.FactWatch:  format.Clock(k.Watch, zone), format.FactCall: format.Clock(k.Call, zone),
		format.FactTurn: format.Clock(k.Turn, zone), format.FactOff: format.Clock(k.Off, zone),
		format.FactCounted: fmt.Sprint(c.State.Expected), format.FactPhase: string(c.Phase(now)),
	}
	var wrong []string
	part.Find("[data-fact]").Each(func(_ int, mark *goquery.Selection) {
		fact, got := mark.AttrOr("data-fact", ""), strings.TrimSpace(mark.Text())
		if expected, known := want[fact]; !known || !strings.EqualFold(got, expected) {
			wrong = append(wrong, fmt.Sprintf("%s is %q, and %q by the case", fact, got, expected))
		}
	})
	return wrong
}

// namesTheMissing reports whether a page that is about an alarm names everybody whom a search is
// open for.
func (a *agreement) namesTheMissing(s surface, text string, c watch.Case) int {
	a.t.Helper()
	if !strings.HasPrefix(s.within, "#party") && !strings.HasSuffix(s.path, "/watch") &&
		!strings.HasSuffix(s.path, "/hand-over") {
		return 0
	}
	names := missingNames(c)
	for _, name := range names {
		if !strings.Contains(text, name) {
			a.t.Errorf("%s does not name %s, who is missing; records: %s", s.path, name, kinds(c.Events))
		}
	}
	return len(names)
}

// calendarEnds holds the end of the hike's calendar entry to the latest return before it leaves.
func (a *agreement) calendarEnds(h hike.Hike, c watch.Case) {
	a.t.Helper()
	if !c.State.Departed.IsZero() {
		return
	}
	entry := a.v.Get(fmt.Sprintf("/hikes/%d/hike.ics", h.ID)).Event()
	end, err := entry.DateTimeEnd(time.UTC)
	if err != nil || !end.Equal(c.Clocks().Latest) {
		a.t.Errorf("the calendar entry ends %v (%v), the latest return is %v", end, err, c.Clocks().Latest)
	}
	a.facts++
}

func kinds(events []party.Event) string {
	var list []string
	for _, e := range events {
		list = append(list, string(e.Kind))
	}
	return strings.Join(list, ", ")
}

// A fact computed a second time, and otherwise, is found.
func TestASecondComputationIsFound(t *testing.T) {
	t.Parallel()
	a := newAgreement(t)
	start := time.Now().Add(-time.Hour).Truncate(time.Minute)
	h := a.Post(1, start)
	a.Depart(h, start.Add(5*time.Minute)) // five minutes late
	a.clock.Set(start.Add(20 * time.Minute))
	c := a.caseOf(h)
	second := format.Clock(start.Add(sitetest.Latest+time.Hour), h.Start.Location()) // from the planned start
	html := `<main><time data-fact="call">` + second + `</time></main>`
	doc, err := goquery.NewDocumentFromReader(strings.NewReader(html))
	if err != nil {
		t.Fatal(err)
	}
	if wrong := wrongFacts(doc.Find("main"), c, a.clock.Now()); len(wrong) != 1 {
		t.Errorf("%q, want the call time found", wrong)
	}
	page := a.v.Get(fmt.Sprintf("/hikes/%d/watch", h.ID)).Find("main")
	if wrong := wrongFacts(page, c, a.clock.Now()); len(wrong) != 0 {
		t.Errorf("the watch page: %q", wrong)
	}
}

// played makes the records of one hike, as two phones send them.
type played struct {
	h    hike.Hike
	dice *rand.Rand
	at   time.Time
	made []party.Event
	all  []party.PersonID
}

func newPlayed(h hike.Hike, dice *rand.Rand) *played {
	p := &played{h: h, dice: dice, at: h.Start.Add(time.Duration(dice.IntN(12)-6) * time.Minute)}
	for _, m := range h.Staff {
		p.all = append(p.all, party.PersonID(m.Person))
	}
	return p
}

// next makes one or two records and says when the server gets them.
func (p *played) next() ([]party.Event, time.Time) {
	e := p.event()
	p.made = append(p.made, e)
	events := []party.Event{e}
	if p.dice.IntN(6) == 0 { // the other phone sends its own of the same
		twin := e
		twin.ID, twin.By = party.EventID(uuid.NewString()), "Leader 2"
		p.made, events = append(p.made, twin), append(events, twin)
	}
	if p.dice.IntN(8) == 0 && len(p.made) > 1 { // sent twice
		events = append(events, p.made[p.dice.IntN(len(p.made)-1)])
	}
	received := p.at.Add(time.Duration(p.dice.IntN(20)) * time.Minute) // no signal for a while
	if p.dice.IntN(7) == 0 {
		events[0].At = received.Add(time.Duration(p.dice.IntN(600)) * time.Minute) // a clock that is ahead
	}
	p.at = p.at.Add(time.Duration(5+p.dice.IntN(40)) * time.Minute)
	return events, latestOf(received, p.at.Add(-time.Minute))
}

func latestOf(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

func (p *played) event() party.Event {
	e := party.Event{ID: party.EventID(uuid.NewString()), At: p.at, By: "Leader 1", Place: "Notch Junction"}
	if len(p.made) == 0 {
		e.Kind, e.Persons, e.Number = party.KindDeparted, p.all, len(p.all)
		return e
	}
	who := p.all[2+p.dice.IntN(2)]
	kinds := []party.Kind{
		party.KindCounted, party.KindCounted, party.KindDelayed, party.KindLeftEarly, party.KindAtCar, party.KindSplit,
		party.KindMissing, party.KindMissing, party.KindFound, party.KindStep, party.KindReported, party.KindUndone,
	}
	e.Kind = kinds[p.dice.IntN(len(kinds))]
	switch e.Kind {
	case party.KindCounted:
		e.Number = 3 + p.dice.IntN(2)
	case party.KindDelayed:
		e.Minutes, e.Note = 10+p.dice.IntN(50), "slow on the slab"
	case party.KindLeftEarly:
		e.Persons, e.Buddies, e.To, e.Minutes = p.all[2:3], p.all[3:4], "own car", 20+p.dice.IntN(60)
	case party.KindAtCar:
		e.Persons = p.all[2:]
	case party.KindSplit:
		e.Parties = []party.Part{
			{Name: "front", Staff: p.all[:1], Number: 1 + p.dice.IntN(2), Meet: "gate", By: p.at.Add(time.Hour)},
			{Name: "back", Staff: slices.Clone(p.all[1:]), Number: 3, Meet: "gate", By: p.at.Add(time.Hour)},
		}
	case party.KindMissing, party.KindFound:
		e.Persons = []party.PersonID{who}
		if p.dice.IntN(4) == 0 {
			e.Persons, e.Number = nil, 1
		}
	case party.KindStep:
		e.Step, e.Trouble = 1+p.dice.IntN(6), p.dice.IntN(2) == 0
	case party.KindReported:
		e.Note = "all well"
	case party.KindUndone:
		e.Retracts = p.made[p.dice.IntN(len(p.made))].ID
	}
	return e
}
