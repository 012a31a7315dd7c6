package postgres_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/postgres"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

var now = time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC)

// mustTrail stores a short invented trail.
func mustTrail(t testing.TB, db *postgres.DB) hike.Trail {
	t.Helper()
	fixes := []track.Fix{}
	for i := range 100 {
		fixes = append(fixes, track.Fix{At: unit.At(33.4+float64(i)*1e-4, -112), Elevation: unit.Length(600 + i), HasElevation: true})
	}
	p, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{fixes}}, track.OutAndBack)
	if err != nil {
		t.Fatal(err)
	}
	tr := hike.Trail{Name: "Dry Fork", Zone: "America/Phoenix", Surface: walk.Firm, Profile: p, Created: now,
		Points: []hike.Point{{Kind: hike.Junction, Name: "Fork", Along: 400}}}
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

func request(h hike.HikeID, n int) hike.SignUp {
	id := uuid.New()
	return hike.SignUp{ID: id.String(), Hike: h, Name: fmt.Sprintf("Walker %03d", n), Email: fmt.Sprintf("w%d@example.org", n), Asked: now, Link: id[:]}
}

func TestSignUpNeverOverbooks(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	h := mustHike(t, db, 20)
	const people = 200
	var wg sync.WaitGroup
	got := make([]hike.SignUp, people)
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
		want := hike.Waiting
		if i < 20 {
			want = hike.Confirmed
		}
		if s.State != want {
			t.Errorf("number %d in order of asking is %s, want %s", i+1, s.State, want)
		}
	}
}

// Of children who are signed up at once no more are taken than their adult may answer for.
func TestAdultAnswersForNoMoreThanThreeAtOnce(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 20)
	if _, err := db.SignUp(ctx, request(h.ID, 0), now); err != nil {
		t.Fatal(err)
	}
	child := func(n int) hike.SignUp {
		c := request(h.ID, n)
		c.Minor, c.Guardian, c.Adult = true, "Kin", "walker 000"
		return c
	}
	const children = 8
	var wg sync.WaitGroup
	places, errs := make([]hike.SignUp, children), make([]error, children)
	for i := range children {
		wg.Go(func() { places[i], errs[i] = db.SignUp(ctx, child(i+1), now) })
	}
	wg.Wait()
	var taken []hike.SignUp
	for i, err := range errs {
		var invalid hike.Invalid
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
	if _, err := db.ChangeSignUp(ctx, taken[0].ID, now, (*hike.SignUp).Withdraw); err != nil {
		t.Fatal(err)
	}
	if _, err := db.SignUp(ctx, child(children+1), now); err != nil {
		t.Errorf("after one has given the place back: %v", err)
	}
	var invalid hike.Invalid
	if _, err := db.ChangeSignUp(ctx, taken[0].ID, now, (*hike.SignUp).AskAgain); !errors.As(err, &invalid) {
		t.Errorf("a fourth asks again: %v, want a fault", err)
	}
}

func TestWithdrawingPromotesTheFirstWhoWaits(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 2)
	var places []hike.SignUp
	for i := range 4 {
		s, err := db.SignUp(ctx, request(h.ID, i), now)
		if err != nil {
			t.Fatal(err)
		}
		places = append(places, s)
	}
	promoted, err := db.ChangeSignUp(ctx, places[0].ID, now, (*hike.SignUp).Withdraw)
	if err != nil {
		t.Fatal(err)
	}
	if len(promoted) != 1 || promoted[0].ID != places[2].ID || promoted[0].State != hike.Offered {
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
	var refusal hike.Refusal
	if !errors.As(err, &refusal) {
		t.Errorf("got %v, want a refusal", err)
	}
	if list, _ := db.SignUps(ctx, h.ID); len(list) != 0 {
		t.Errorf("%d sign-ups stored", len(list))
	}
}
