package web_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/party"
	"saltbush/internal/phone"
	"saltbush/internal/roll"
	"saltbush/internal/rules"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
)

// agreement holds every surface of a hike to its case: what a page, paper, mail, file or phone says
// must be what watch.Case says at that moment.
type agreement struct {
	*sitetest.Lookout
	t       *testing.T
	dice    *rand.Rand
	clock   *sitetest.Clock
	site    *sitetest.Site
	watcher *sitetest.Site
	staff   *sitetest.Visitor // the coordinator
	anybody *sitetest.Visitor
	mails   notify.WatchFacts
	other   trail.Trail // for a decision to walk another one
	mail    int64       // the newest message that was compared
	wrong   []string
	seen    map[string]int // how often each fact was compared on each surface
}

// seededHikes is how many hikes the agreement test plays, and on how many lookouts.
func seededHikes() (hikes, lookouts int) {
	switch {
	case sitetest.Long():
		return 2000, 20
	case testing.Short():
		return 5, 1
	}
	return 100, 2
}

// Two phones record splits, early pairs, missing and found people, delays, late and doubled records
// and undos, with wrong clocks, on hikes of every kind, some of them decided otherwise the day
// before. After each step every surface agrees with the case.
func TestEverySurfaceAgreesWithTheCase(t *testing.T) {
	t.Parallel()
	hikes, lookouts := seededHikes()
	var mu sync.Mutex
	seen := map[string]int{}
	t.Run("hikes", func(t *testing.T) {
		for part := range lookouts {
			t.Run(fmt.Sprint(part), func(t *testing.T) {
				t.Parallel()
				a := newAgreement(t, uint64(part))
				for n := range hikes / lookouts {
					if a.play(n); len(a.wrong) > 0 {
						t.Fatalf("hike %d of lookout %d:\n%s", n, part, strings.Join(a.wrong, "\n"))
					}
				}
				mu.Lock()
				defer mu.Unlock()
				for key, n := range a.seen {
					seen[key] += n
				}
			})
		}
	})
	comparedEnough(t, seen, hikes)
}

// comparedEnough fails if the test showed little: every kind of surface and every saying must have
// been met.
func comparedEnough(t *testing.T, seen map[string]int, hikes int) {
	total := 0
	for _, key := range slices.Sorted(maps.Keys(seen)) {
		total += seen[key]
		t.Logf("%7d %s", seen[key], key)
	}
	t.Logf("%d hikes, %d facts compared", hikes, total)
	if total < 100*hikes {
		t.Errorf("only %d facts of %d hikes were compared", total, hikes)
	}
	if hikes < 100 {
		return
	}
	for _, s := range sayings() {
		if seen[s.words] == 0 {
			t.Errorf("no surface says %q", s.words)
		}
	}
}

func newAgreement(t *testing.T, seed uint64) *agreement {
	l := sitetest.NewLookout(t)
	a := &agreement{
		Lookout: l, t: t, clock: sitetest.NewClock(time.Now()), dice: rand.New(rand.NewPCG(1910, seed)),
		seen: map[string]int{},
	}
	a.noSecondStep()
	a.site, a.watcher = l.Pages(a.clock.Now), l.Watcher(a.clock.Now)
	a.staff, a.anybody = a.site.SignIn(t, sitetest.Coordinator), a.site.Visitor(t)
	plain := &http.Transport{DisableCompression: true}
	a.staff.Client().Transport, a.anybody.Client().Transport = plain, plain
	t.Cleanup(plain.CloseIdleConnections)
	a.other = a.addWash()
	a.mails = a.watchFacts()
	return a
}

// noSecondStep lets the coordinator go on with a password alone, however far the clock goes.
func (a *agreement) noSecondStep() {
	a.t.Helper()
	err := a.DB.ChangeHouse(a.t.Context(), func(h *rules.House) ([]rules.HouseChange, error) {
		own := h.Rules
		own.SecondStep = 3650 * rules.Day
		return h.Rule(own, "For the test.", "Juniper Vale", time.Now())
	})
	if err != nil {
		a.t.Fatal(err)
	}
}

// play takes one hike through its eve and its day, and compares after each step.
func (a *agreement) play(n int) {
	a.t.Helper()
	p := a.post(n, a.dice.IntN(planned+1))
	a.clock.Set(p.h.Start.Add(-20 * time.Hour))
	if p.kind == planned {
		a.decide(p)
	}
	a.eve(p)
	a.clock.Set(p.h.Start.Add(-10 * time.Minute))
	a.compare(p)
	for range 4 + a.dice.IntN(6) {
		events, at := p.next()
		a.append(p, at, events...)
		a.clock.Set(at.Add(time.Duration(a.dice.IntN(3)) * time.Minute))
		a.compare(p)
	}
	if a.dice.IntN(3) == 0 {
		a.overdue(p)
	}
	a.Back(p.h, a.clock.Now())
	a.compare(p)
	a.site.Exec(a.t, `
		UPDATE hikes
		SET state = 'closed', meet = meet - interval '400 days', start = start - interval '400 days'
		WHERE id = $1`, int64(p.h.ID)) // off the board, the desk and the calendar
}

// overdue lets the watch time pass without a word, if it has not yet.
func (a *agreement) overdue(p *played) {
	a.t.Helper()
	late := a.caseOf(p.h).Clocks().Watch.Add(time.Duration(a.dice.IntN(80)) * time.Minute)
	if late.Before(a.clock.Now()) {
		return
	}
	a.clock.Set(late)
	a.compare(p)
	sheet := slices.DeleteFunc(a.surfaces(p), func(s surface) bool { return !strings.HasSuffix(s.path, "/hand-over") })
	a.pages(a.caseOf(p.h), sheet)
}

func (a *agreement) append(p *played, at time.Time, events ...party.Event) {
	a.t.Helper()
	if _, err := a.DB.Append(a.t.Context(), p.h.ID, events, at, roll.NoteDeparture); err != nil {
		a.t.Fatal(err)
	}
}

// compare holds the surfaces of a hike to its case at this moment: the clocks, the messages and the
// phone each time, the pages as drawn at random.
func (a *agreement) compare(p *played) {
	a.t.Helper()
	c := a.caseOf(p.h)
	a.differs("the case by hand", c, p.wrongByHand(c))
	if !sitetest.Long() || a.dice.IntN(2) == 0 {
		a.loaded(c)
	}
	a.messages(c)
	given := phone.Given{Roster: c.Roster, Terms: c.FullTerms(), Events: c.Events, Now: a.clock.Now()}
	a.phone("a phone", given, c)
	a.pages(c, drawn(a.dice, a.surfaces(p)))
	if a.dice.IntN(6) == 0 {
		a.ring(c)
	}
}

// drawn is two of the surfaces, one in the long form, and now and then all.
func drawn(dice *rand.Rand, all []surface) []surface {
	n, whole := 2, 16
	if sitetest.Long() {
		n, whole = 1, 40
	}
	if dice.IntN(whole) == 0 {
		return all
	}
	dice.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all[:n]
}

// differs collects what a surface says otherwise than the case.
func (a *agreement) differs(name string, c watch.Case, wrong []string) {
	for _, w := range wrong {
		a.wrong = append(a.wrong, fmt.Sprintf("%s at %s: %s; records: %s",
			name, a.clock.Now().Format(time.TimeOnly), w, kinds(c.Events)))
	}
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
	name := a.mails.Trails[rec.Hike.Trail].Name
	return watch.CaseOf(roll.Watched{Record: rec, Trail: name, Plan: &plan.Plan}, nil)
}

// loaded holds the clocks that pages and mails of the day before are made from to the case.
func (a *agreement) loaded(c watch.Case) {
	a.t.Helper()
	data, err := watch.LoadData(a.t.Context(), a.DB, a.DB, c.Hike, a.clock.Now())
	if err != nil {
		a.t.Fatal(err)
	}
	a.differs("hike.Data", c, wrongClocks(data.Clocks, c.Clocks()))
	a.seen["clocks of hike.Data"]++
}

func wrongClocks(got, want party.Clocks) []string {
	if is, by := clockWords(got), clockWords(want); is != by {
		return []string{fmt.Sprintf("clocks %s, and %s by the case", is, by)}
	}
	return nil
}

// clockWords writes every clock, in one zone.
func clockWords(k party.Clocks) string {
	var words []string
	for field, value := range reflect.ValueOf(k).Fields() {
		x := value.Interface()
		if at, is := x.(time.Time); is {
			x = at.UTC()
		}
		words = append(words, fmt.Sprint(field.Name, " ", x))
	}
	return strings.Join(words, ", ")
}

func kinds(events []party.Event) string {
	var list []string
	for _, e := range events {
		list = append(list, string(e.Kind))
	}
	return strings.Join(list, ", ")
}
