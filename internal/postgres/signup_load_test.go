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

	"saltbush/internal/hike"
	"saltbush/internal/postgres"
)

// rush is a crowd that asks for the last places of some hikes at once, with withdrawals,
// offers taken and the waiting lists served in between.
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

// person asks for a place; one in five gives it back, and whoever that moves up takes the
// place or lets it go.
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
	moved, err := r.db.ChangeSignUp(ctx, s.ID, now, (*hike.SignUp).Withdraw)
	for _, m := range moved {
		if err != nil {
			break
		}
		_, err = r.db.ChangeSignUp(ctx, m.ID, now, func(s *hike.SignUp) error {
			if s.State != hike.Offered { // gave it back meanwhile
				return nil
			}
			return s.Take(now)
		})
	}
	return err
}

// check finds places given twice and people passed over.
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
			case s.State == hike.Waiting:
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

// SALTBUSH_RUSH=1 lets a thousand people ask for the last twenty places of three hikes
// within ten seconds, and then compares with the bare transaction in pgbench on the same
// database: a row locked, two counts, one row added.
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
	t.Logf("%d people in %v: an asking takes %v at the median, %v at p99, %v at most", r.people, took.Round(time.Millisecond), p50, p99, r.took[len(r.took)-1])

	burst := &rush{db: db, hikes: r.hikes, people: 1000, within: time.Nanosecond}
	rate := float64(burst.people) / burst.run().Seconds()
	burst.check(t)
	bare := pgbench(t, dsn, r.hikes)
	t.Logf("all at once: %.0f people a second; bare transaction in pgbench: %.0f a second; ratio %.2f", rate, bare, rate/bare)
}

// pgbench returns how many bare transactions a second the database does.
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
SELECT count(*) FILTER (WHERE state = 'confirmed'), count(*) FILTER (WHERE state = 'waiting') FROM signups WHERE hike_id = :h;
INSERT INTO signups (id, hike_id, state, name, email, mobile, emergency_name, emergency_phone, longest_walk, hot_days, water_l, minor, acknowledged, asked, link)
VALUES (gen_random_uuid(), :h, 'waiting', 'Walker', 'w@example.org', '', '', '', '', 0, 0, false, true, now(), convert_to(gen_random_uuid()::text, 'UTF8'));
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
