package postgres_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

var now = time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC)

// mustTrail stores a short invented trail.
func mustTrail(t testing.TB, db *postgres.DB) trail.Trail {
	t.Helper()
	fixes := []track.Fix{}
	for i := range 100 {
		at := unit.At(33.4+float64(i)*1e-4, -112)
		fixes = append(fixes, track.Fix{At: at, Elevation: unit.Length(600 + i), HasElevation: true})
	}
	p, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OutAndBack)
	if err != nil {
		t.Fatal(err)
	}
	tr := trail.Trail{Name: "Dry Fork", Zone: "America/Phoenix", Surface: walk.Firm, Profile: p, Created: now,
		Points: []trail.Point{{Kind: trail.Junction, Name: "Fork", Along: 400}}}
	if tr.ID, err = db.AddTrail(context.Background(), tr, []byte("<gpx/>")); err != nil {
		t.Fatal(err)
	}
	return tr
}

// mustHike stores a posted hike with so many places.
func mustHike(t testing.TB, db *postgres.DB, places int) hike.Hike {
	t.Helper()
	tr := mustTrail(t, db)
	start := now.Add(72 * time.Hour)
	h := hike.Hike{Trail: tr.ID, Title: "Dry Fork at dawn", Meet: start.Add(-30 * time.Minute), Start: start,
		Places: places, Pace: walk.Ordinary, State: hike.Posted, Created: now}
	var err error
	if h.ID, err = db.AddHike(context.Background(), h); err != nil {
		t.Fatal(err)
	}
	return h
}

func request(h ref.Hike, n int) signup.SignUp {
	id := uuid.New()
	return signup.SignUp{
		ID:    id.String(),
		Hike:  h,
		Name:  fmt.Sprintf("Walker %03d", n),
		Email: fmt.Sprintf("w%d@example.org", n),
		Asked: now,
		Link:  id[:],
	}
}

func TestSignUpNeverOverbooks(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	h := mustHike(t, db, 20)
	const people = 200
	var wg sync.WaitGroup
	got := make([]signup.SignUp, people)
	errs := make([]error, people)
	for i := range people {
		wg.Go(func() { got[i], errs[i] = db.SignUp(context.Background(), request(h.ID, i), now) })
	}
	wg.Wait()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
	list, err := db.SignUps(context.Background(), h.ID)
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != people {
		t.Fatalf("%d sign-ups on file, want %d", len(list), people)
	}
	for i, s := range list {
		want := signup.Waiting
		if i < 20 {
			want = signup.Confirmed
		}
		if s.State != want {
			t.Errorf("number %d in order of asking is %s, want %s", i+1, s.State, want)
		}
	}
}

// Of several children who sign up at once, no more are admitted than their adult may answer
// for.
func TestAdultAnswersForNoMoreThanThreeAtOnce(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 20)
	first, err := db.SignUp(ctx, request(h.ID, 0), now)
	if err != nil {
		t.Fatal(err)
	}
	child := func(n int) signup.SignUp {
		c := request(h.ID, n)
		c.Minor, c.Guardian, c.Adult = true, "Kin", "walker 000"
		return c
	}
	const children = 8
	var wg sync.WaitGroup
	places, errs := make([]signup.SignUp, children), make([]error, children)
	for i := range children {
		wg.Go(func() { places[i], errs[i] = db.SignUp(ctx, child(i+1), now) })
	}
	wg.Wait()
	var taken []signup.SignUp
	for i, err := range errs {
		var invalid fault.Invalid
		switch {
		case err == nil:
			taken = append(taken, places[i])
		case !errors.As(err, &invalid) || invalid["adult"] == "":
			t.Errorf("child %d: %v, want a fault of the adult", i, err)
		}
	}
	if len(taken) != 3 {
		t.Fatalf("%d children of one adult are taken, want 3", len(taken))
	}
	if stored, err := db.SignUpByID(ctx, taken[0].ID); err != nil || string(stored.AdultID) != first.ID {
		t.Errorf("the child's adult is %q, %v; want %s, found by name", stored.AdultID, err, first.ID)
	}
	if _, err := db.ChangeSignUp(ctx, taken[0].ID, now, (*signup.SignUp).Withdraw); err != nil {
		t.Fatal(err)
	}
	if _, err := db.SignUp(ctx, child(children+1), now); err != nil {
		t.Errorf("after one has given the place back: %v", err)
	}
	var invalid fault.Invalid
	if _, err := db.ChangeSignUp(ctx, taken[0].ID, now, (*signup.SignUp).AskAgain); !errors.As(err, &invalid) {
		t.Errorf("a fourth asks again: %v, want a fault", err)
	}
}

func TestWithdrawingPromotesTheFirstWhoWaits(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 2)
	var places []signup.SignUp
	for i := range 4 {
		s, err := db.SignUp(ctx, request(h.ID, i), now)
		if err != nil {
			t.Fatal(err)
		}
		places = append(places, s)
	}
	promoted, err := db.ChangeSignUp(ctx, places[0].ID, now, (*signup.SignUp).Withdraw)
	if err != nil {
		t.Fatal(err)
	}
	if len(promoted) != 1 || promoted[0].ID != places[2].ID || promoted[0].State != signup.Offered {
		t.Errorf("promoted %v, want the place offered to the third who asked", promoted)
	}
}

func TestSignUpRefusedWhereTheHikeTakesNone(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 2)
	if err := db.ChangeHike(ctx, h.ID, func(h *hike.Hike) error { return h.CallOff("flood") }); err != nil {
		t.Fatal(err)
	}
	_, err := db.SignUp(ctx, request(h.ID, 1), now)
	var refusal fault.Refusal
	if !errors.As(err, &refusal) {
		t.Errorf("got %v, want a refusal", err)
	}
	if list, _ := db.SignUps(ctx, h.ID); len(list) != 0 {
		t.Errorf("%d sign-ups stored", len(list))
	}
}

// rush is a crowd that asks for the last places of some hikes at once. Meanwhile others
// withdraw, take offers, and waiting lists are served.
type rush struct {
	db     *postgres.DB
	hikes  []hike.Hike
	people int
	within time.Duration

	mu   sync.Mutex
	took []time.Duration // of each asking
	errs []error
}

func (r *rush) run() time.Duration {
	began := time.Now()
	var wg sync.WaitGroup
	dice := rand.New(rand.NewPCG(20, 26))
	for i := range r.people {
		wait, withdraws := time.Duration(dice.Int64N(int64(r.within))), dice.IntN(5) == 0
		wg.Go(func() {
			time.Sleep(wait)
			r.note(r.person(i, withdraws))
		})
	}
	wg.Wait()
	return time.Since(began)
}

func (r *rush) note(err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if err != nil {
		r.errs = append(r.errs, err)
	}
}

// person asks for a place. One in five gives it back; whoever is offered it then takes it.
func (r *rush) person(i int, withdraws bool) error {
	ctx := context.Background()
	began := time.Now()
	s, err := r.db.SignUp(ctx, request(r.hikes[i%len(r.hikes)].ID, i), now)
	r.mu.Lock()
	r.took = append(r.took, time.Since(began))
	r.mu.Unlock()
	if err != nil || !withdraws {
		return err
	}
	moved, err := r.db.ChangeSignUp(ctx, s.ID, now, (*signup.SignUp).Withdraw)
	for _, m := range moved {
		if err != nil {
			break
		}
		_, err = r.db.ChangeSignUp(ctx, m.ID, now, func(s *signup.SignUp) error {
			if s.State != signup.Offered { // gave it back meanwhile
				return nil
			}
			return s.Take(now)
		})
	}
	return err
}

// check fails if a place was given twice or somebody was passed over.
func (r *rush) check(t *testing.T) {
	t.Helper()
	if err := errors.Join(r.errs...); err != nil {
		t.Fatal(err)
	}
	for _, h := range r.hikes {
		list, err := r.db.SignUps(context.Background(), h.ID)
		if err != nil {
			t.Fatal(err)
		}
		taken, waits := 0, false
		for _, s := range list {
			switch {
			case s.HoldsPlace(now):
				taken++
				if waits {
					t.Errorf("hike %d: number %d holds a place, and somebody before waits", h.ID, s.Order)
				}
			case s.State == signup.Waiting:
				waits = true
			}
		}
		if taken > h.Places || waits && taken < h.Places {
			t.Errorf("hike %d: %d of %d places taken, somebody waits: %v", h.ID, taken, h.Places, waits)
		}
	}
}

func TestManyAskWhileOthersWithdraw(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	r := &rush{db: db, people: 150, within: time.Second}
	for range 3 {
		r.hikes = append(r.hikes, mustHike(t, db, 7))
	}
	r.run()
	r.check(t)
}

// With SALTBUSH_RUSH=1 a thousand people ask for the last twenty places of three hikes within
// ten seconds. The rate is compared with the bare transaction in pgbench on the same database:
// a row locked, two counts, one row added.
func TestThousandAskInTenSeconds(t *testing.T) {
	t.Parallel()
	if os.Getenv("SALTBUSH_RUSH") == "" {
		t.Skip("set SALTBUSH_RUSH=1 for a thousand people")
	}
	db, dsn := open(t)
	r := &rush{db: db, people: 1000, within: 10 * time.Second}
	for _, places := range []int{7, 7, 6} {
		r.hikes = append(r.hikes, mustHike(t, db, places))
	}
	took := r.run()
	r.check(t)
	slices.Sort(r.took)
	p50, p99 := r.took[len(r.took)/2], r.took[len(r.took)*99/100]
	t.Logf("%d people in %v: an asking takes %v at the median, %v at p99, %v at most",
		r.people, took.Round(time.Millisecond), p50, p99, r.took[len(r.took)-1])

	burst := &rush{db: db, hikes: r.hikes, people: 1000, within: time.Nanosecond}
	rate := float64(burst.people) / burst.run().Seconds()
	burst.check(t)
	bare := pgbench(t, dsn, r.hikes)
	t.Logf("all at once: %.0f people a second; bare transaction in pgbench: %.0f a second; ratio %.2f",
		rate, bare, rate/bare)
}

// pgbench returns how many bare transactions the database does per second.
func pgbench(t *testing.T, dsn string, hikes []hike.Hike) float64 {
	t.Helper()
	name, err := exec.LookPath("pgbench")
	if err != nil {
		found, _ := exec.Command("sh", "-c", "ls /usr/lib/postgresql/*/bin/pgbench").Output()
		if name = strings.TrimSpace(string(found)); name == "" {
			t.Skip("no pgbench on this machine")
		}
	}
	script := t.TempDir() + "/ask.sql"
	text := fmt.Sprintf(`\set h random(%d, %d)
BEGIN;
SELECT * FROM hikes WHERE id = :h FOR UPDATE;
SELECT count(*) FILTER (WHERE state = 'confirmed'), count(*) FILTER (WHERE state = 'waiting')
FROM signups WHERE hike_id = :h;
INSERT INTO signups (
id, hike_id, state, name, email, mobile, emergency_name, emergency_phone,
longest_walk, hot_days, water_l, minor, acknowledged, asked, link
) VALUES (
gen_random_uuid(), :h, 'waiting', 'Walker', 'w@example.org', '', '', '',
'', 0, 0, false, true, now(), convert_to(gen_random_uuid()::text, 'UTF8')
);
COMMIT;
`, hikes[0].ID, hikes[len(hikes)-1].ID)
	if err := os.WriteFile(script, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(name, "-n", "-c", "4", "-j", "2", "-T", "5", "-f", script, dsn).CombinedOutput()
	if err != nil {
		t.Fatalf("pgbench: %v\n%s", err, out)
	}
	m := regexp.MustCompile(`tps = ([0-9.]+)`).FindSubmatch(out)
	if m == nil {
		t.Fatalf("pgbench said no rate:\n%s", out)
	}
	rate, _ := strconv.ParseFloat(string(m[1]), 64)
	return rate
}
