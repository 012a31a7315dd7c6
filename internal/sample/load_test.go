package sample_test

import (
	"context"
	"errors"
	"regexp"
	"saltbush/internal/party"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/roll"
	"saltbush/internal/sample"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
)

// now is on a Friday morning at the reserve.
var now = time.Date(2026, 10, 23, 16, 12, 40, 0, time.UTC)

// empty returns the stores of a new database.
func empty(tb testing.TB) sample.Stores { return stores(tb, nil) }

// loaded returns the stores of a copy of one loaded database.
func loaded(tb testing.TB) sample.Stores { return stores(tb, loadSeason) }

func stores(tb testing.TB, fill pgtest.Migrate) sample.Stores {
	tb.Helper()
	db, err := postgres.Open(context.Background(), pgtest.Migrated(tb, fill))
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(db.Close)
	if err := useKey(context.Background(), db); err != nil {
		tb.Fatal(err)
	}
	return storesOf(db)
}

// useKey sets the zero key, which is the same for all connections of these tests.
func useKey(ctx context.Context, db *postgres.DB) error {
	return db.TakeCardKey(ctx, card.Key{}, false, now)
}

func storesOf(db *postgres.DB) sample.Stores {
	return sample.Stores{Hikes: db, Rolls: db, Accounts: db.AccountStore(), Staff: db, Tell: db, Ground: db, Cards: db,
		Rides: db, Outbox: db.Outbox(), BaseURL: "https://demo.example.org"}
}

func loadSeason(ctx context.Context, dsn string) error {
	db, err := postgres.Open(ctx, dsn)
	if err != nil {
		return err
	}
	defer db.Close()
	if err := useKey(ctx, db); err != nil {
		return err
	}
	_, err = sample.Load(ctx, storesOf(db), preparedAt(now))
	return err
}

// preparedAt returns a function that prepares the scenario at a time.
func preparedAt(at time.Time) func() (*sample.Scenario, error) {
	return func() (*sample.Scenario, error) { return sample.Prepare(context.Background(), at) }
}

func load(tb testing.TB, s sample.Stores) []sample.SignIn {
	tb.Helper()
	list, err := sample.Load(context.Background(), s, preparedAt(now))
	if err != nil {
		tb.Fatal(err)
	}
	return list
}

func allHikes(tb testing.TB, s sample.Stores) []hike.Listed {
	tb.Helper()
	list, err := s.Hikes.Hikes(context.Background(), now.AddDate(-1, 0, 0), now.AddDate(1, 0, 0))
	if err != nil {
		tb.Fatal(err)
	}
	return list
}

func TestEverythingLoadedIsValid(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	s := loaded(t)
	checkTrails(t, s)
	people := map[string]string{}
	for _, l := range allHikes(t, s) {
		rec, err := s.Rolls.Record(ctx, l.Hike.ID)
		if err != nil {
			t.Fatal(err)
		}
		if err := rec.Hike.Validate(); err != nil {
			t.Errorf("%q: %v", rec.Hike.Title, err)
		}
		for _, e := range rec.Events {
			if err := roll.Validate(e); err != nil {
				t.Errorf("%q: %v", rec.Hike.Title, err)
			}
		}
		if flags := rec.State().OpenFlags(); len(flags) > 0 {
			t.Errorf("%q: flags %+v", rec.Hike.Title, flags)
		}
		checkPlaces(t, s, rec.Hike, people)
	}
	if len(people) < 60 {
		t.Errorf("%d people sign up, want at least 60", len(people))
	}
}

func checkTrails(t *testing.T, s sample.Stores) {
	t.Helper()
	list, err := s.Hikes.Trails(context.Background())
	if err != nil || len(list) != 8 {
		t.Fatalf("%d trails, %v", len(list), err)
	}
	classes := map[track.Class]bool{}
	for _, short := range list {
		tr, err := s.Hikes.Trail(context.Background(), short.ID)
		if err != nil {
			t.Fatal(err)
		}
		if err := tr.Validate(); err != nil {
			t.Errorf("%q: %v", tr.Name, err)
		}
		for _, p := range tr.Points {
			if err := tr.ValidatePoint(p); err != nil {
				t.Errorf("%q, %q: %v", tr.Name, p.Name, err)
			}
		}
		if first := tr.Points[0]; first.Kind != trail.Trailhead {
			t.Errorf("%q begins at the %s %q", tr.Name, first.Kind, first.Name)
		}
		classes[track.Rate(tr.Profile.Length, tr.Profile.Ascent, tr.Profile.Steepest).Class] = true
	}
	if len(classes) != 5 {
		t.Errorf("the classes are %v, want all five", classes)
	}
}

func checkPlaces(t *testing.T, s sample.Stores, h hike.Hike, people map[string]string) {
	t.Helper()
	places, err := s.Hikes.SignUps(context.Background(), h.ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range places {
		if err := p.Check("US"); err != nil {
			t.Errorf("%q, %s: %v", h.Title, p.Name, err)
		}
		if other, known := people[p.Email]; known && other != p.Name {
			t.Errorf("%s and %s share an address", p.Name, other)
		}
		people[p.Email] = p.Name
	}
}

func TestPastHikesAreClosedByTheirRolls(t *testing.T) {
	t.Parallel()
	s := loaded(t)
	closed, off, early, walkUps, absent := 0, 0, 0, 0, 0
	for _, l := range allHikes(t, s) {
		if !l.Hike.Start.Before(now.AddDate(0, 0, -1)) {
			continue
		}
		if l.Hike.State == hike.CalledOff {
			off++
			continue
		}
		rec, err := s.Rolls.Record(context.Background(), l.Hike.ID)
		if err != nil {
			t.Fatal(err)
		}
		state := rec.State()
		if err := state.CanClose(); err != nil || rec.Hike.State != hike.Closed || l.Plan == nil {
			t.Errorf("%q is %s, plan %v: %v", rec.Hike.Title, rec.Hike.State, l.Plan != nil, err)
		}
		closed++
		early += state.LeftEarly
		for _, p := range state.People {
			walkUps += count(p.WalkUp)
			absent += count(p.Where == party.WhereAbsent)
		}
	}
	if closed != 13 || off != 1 || early != 2 || walkUps != 1 || absent != 1 {
		t.Errorf("%d closed, %d called off, %d left early, %d walked up, %d did not come",
			closed, off, early, walkUps, absent)
	}
}

func count(is bool) int {
	if is {
		return 1
	}
	return 0
}

func TestBoardShowsOneOnTimeAndOneLate(t *testing.T) {
	t.Parallel()
	s := loaded(t)
	watched, err := s.Rolls.Watched(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	phases := map[watch.Phase]int{}
	for _, w := range watched {
		if w.Hike.State != hike.Out {
			continue
		}
		state := w.State()
		phase := watch.PhaseAt(now, watch.TimesFor(watch.PromiseOf(w.Hike, *w.Plan, w.Roster), state), state)
		phases[phase]++
		if last, ok := state.LastAgreed(); !ok || last.Leader != len(w.Roster) || state.Expected != len(w.Roster) ||
			last.Place == "" {
			t.Errorf("%q: %d on the roster, %d expected, last count %+v",
				w.Hike.Title, len(w.Roster), state.Expected, last)
		}
	}
	if phases[watch.OnTime] != 1 || phases[watch.Uncertainty] != 1 || len(phases) != 2 {
		t.Errorf("phases %v, want one on time and one in uncertainty", phases)
	}
}

func TestComingHikesShowTheirStates(t *testing.T) {
	t.Parallel()
	s := loaded(t)
	var coming, full, drafts, undecided int
	for _, l := range allHikes(t, s) {
		if !l.Hike.Start.After(now) {
			continue
		}
		coming++
		full += count(l.Confirmed == l.Hike.Places && l.Waiting > 0)
		drafts += count(l.Hike.State == hike.Draft && l.Hike.Forecast == nil && l.Plan == nil)
		undecided += count(l.Hike.AwaitsDecision() && l.Plan != nil && !now.Before(l.Hike.DecideBy().Add(-6*time.Hour)))
	}
	if coming != 12 || full != 2 || drafts != 1 || undecided != 1 {
		t.Errorf("%d coming, %d full with people waiting, %d drafts, %d to be decided now",
			coming, full, drafts, undecided)
	}
}

func TestSignInsOpenTheirAccounts(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	s := loaded(t)
	list := load(t, s) // loaded already, so this only returns the sign-ins
	if len(list) != 6 {
		t.Fatalf("%d sign-ins, want 6", len(list))
	}
	for _, in := range list {
		a, err := s.Accounts.AccountByEmail(ctx, in.Email)
		if err != nil {
			t.Fatal(err)
		}
		if ok, err := account.NewHasher(1).Verify(ctx, in.Password, a.PasswordHash); err != nil || !ok ||
			!a.Has(account.Role(in.As)) || !a.Active {
			t.Errorf("%s as %s: password %v, %v", in.Email, in.As, ok, err)
		}
		if err := errors.Join(a.Check(), account.CheckPassword(in.Password, a)); err != nil {
			t.Errorf("%s: %v", in.Email, err)
		}
	}
}

func TestLinksInMailOpenPlaces(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	s := loaded(t)
	mails, err := s.Outbox.Recent(ctx, 1000)
	if err != nil || len(mails) < 20 {
		t.Fatalf("%d mails, %v", len(mails), err)
	}
	link := regexp.MustCompile(`https://demo\.example\.org/(place|updates)/(\S+)`)
	opened := map[string]int{}
	for _, m := range mails {
		found := link.FindStringSubmatch(m.Text)
		if found == nil {
			t.Fatalf("no link in %q", m.Text)
		}
		secret, err := account.ParseSecret(found[2])
		if err != nil {
			t.Fatal(err)
		}
		hash := secret.Hash()
		p, err := s.Hikes.SignUpByLink(ctx, hash[:])
		if found[1] == "updates" {
			p, err = toldPlace(ctx, s, hash[:])
		}
		if err != nil || p.Email != m.To {
			t.Errorf("the mail to %s opens the place of %s, %v", m.To, p.Email, err)
		}
		opened[found[1]]++
	}
	if opened["place"] == 0 || opened["updates"] == 0 {
		t.Errorf("opened %v, want links of both kinds", opened)
	}
}

// toldPlace returns the sign-up that the link in a mail about a decision opens. For staff it
// has only the mail address.
func toldPlace(ctx context.Context, s sample.Stores, hash []byte) (signup.SignUp, error) {
	_, to, err := s.Tell.(hike.AnnouncementLog).AnnouncementByLink(ctx, hash)
	if err != nil || to.Account == 0 {
		return to.Place, err
	}
	a, err := s.Accounts.AccountByID(ctx, account.ID(to.Account))
	return signup.SignUp{Email: a.Email}, err
}

// One hike has moved to an easier trail, and the sweep and one participant have not read it.
func TestOneHikeMoved(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	s := loaded(t)
	tell := s.Tell.(hike.AnnouncementLog)
	moved := 0
	for _, l := range allHikes(t, s) {
		if l.Hike.Decision.What() != hike.OtherTrail {
			continue
		}
		moved++
		announced, err := tell.Announcements(ctx, l.Hike.ID)
		if err != nil || len(announced) != 1 || len(announced[0].Unread()) != 2 ||
			announced[0].Unread()[0].Role != team.Sweep || !announced[0].AtTrailhead() {
			t.Errorf("%s: %+v, %v", l.Hike.Title, announced, err)
		}
	}
	if moved != 1 {
		t.Errorf("%d hikes moved, want 1", moved)
	}
}

func TestSecondLoadStoresNothing(t *testing.T) {
	t.Parallel()
	s := loaded(t)
	first := load(t, s)
	before := len(allHikes(t, s))
	again, err := sample.Load(context.Background(), s, preparedAt(now.Add(26*time.Hour)))
	if err != nil || len(again) != len(first) || again[0] != first[0] {
		t.Errorf("signs in %v, %v; want %v", again, err, first)
	}
	if after := len(allHikes(t, s)); after != before {
		t.Errorf("%d hikes, before %d", after, before)
	}
}

// cut interrupts a load just before its end.
type cut struct{ account.Store }

var errCut = errors.New("cut short")

func (c cut) CreateAccount(ctx context.Context, a account.Account) (account.Account, error) {
	if a.Has(account.Coordinator) {
		return a, errCut
	}
	return c.Store.CreateAccount(ctx, a)
}

func TestInterruptedLoadStartsAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("loads twice, which takes long")
	}
	t.Parallel()
	s := empty(t)
	short := s
	short.Accounts = cut{s.Accounts}
	if _, err := sample.Load(context.Background(), short, preparedAt(now)); !errors.Is(err, errCut) {
		t.Fatalf("got %v, want errCut", err)
	}
	load(t, s)
	states := map[hike.State]int{}
	for _, l := range allHikes(t, s) {
		states[l.Hike.State]++
	}
	if states[hike.Out] != 2 || states[hike.Draft] != 1 {
		t.Errorf("hikes by state: %v, want those of the first load called off", states)
	}
	checkTrails(t, s)
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		b.StopTimer()
		s := empty(b)
		b.StartTimer()
		load(b, s)
	}
}
