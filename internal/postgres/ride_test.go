package postgres_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"saltbush/internal/hike"
)

func TestRideBookComesBackAsItWas(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	ctx := context.Background()
	h := mustHike(t, db, 4)
	place, err := db.SignUp(ctx, request(h.ID, 1), now)
	if err != nil {
		t.Fatal(err)
	}
	staff := uuid.NewString()
	want := hike.RideBook{
		Shuttle: hike.Shuttle{EndLot: "Far gate", Drive: 25 * time.Minute, By: "Ash Moreno", At: now},
		Sharing: map[string]hike.Sharing{place.ID: {Town: "Dry Mills", Since: now}, staff: {}},
		Cars:    map[string]hike.Car{staff: {Plate: "S 1", Colour: "red", Seats: 3}},
		Told:    map[string]hike.RideTold{place.ID: {Part: `{"Own":"end"}`, Times: 2}, staff: {}},
		Opened:  now.Add(time.Hour),
	}
	for range 2 { // a second time replaces the first
		err = db.ChangeRides(ctx, h.ID, func(of hike.Hike, places []hike.SignUp, b *hike.RideBook) error {
			if of.ID != h.ID || len(places) != 1 {
				t.Errorf("hike %d with %d places, want %d with one", of.ID, len(places), h.ID)
			}
			*b = want
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	refused := errors.New("refused")
	err = db.ChangeRides(ctx, h.ID, func(_ hike.Hike, _ []hike.SignUp, b *hike.RideBook) error {
		b.Shuttle.EndLot = "elsewhere"
		return refused
	})
	if !errors.Is(err, refused) {
		t.Errorf("error %v, want that of the change", err)
	}
	got, err := db.RideBook(ctx, h.ID)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got, cmp.Comparer(time.Time.Equal)); diff != "" {
		t.Errorf("book (-want +got):\n%s", diff)
	}
	if none, err := db.RideBook(ctx, h.ID+1); err != nil || !none.Opened.IsZero() || len(none.Sharing) > 0 {
		t.Errorf("a hike without a book: %+v, %v", none, err)
	}
}

func TestACarCanChangeAfterTheSignUp(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	ctx := context.Background()
	h := mustHike(t, db, 4)
	p, err := db.SignUp(ctx, request(h.ID, 1), now)
	if err != nil {
		t.Fatal(err)
	}
	want := hike.Car{Plate: "DRY 7", Make: "Tumbril", Colour: "sand", Seats: 2}
	if _, err = db.ChangeSignUp(ctx, p.ID, now, func(s *hike.SignUp) error { s.Car = want; return nil }); err != nil {
		t.Fatal(err)
	}
	if got, err := db.SignUpByID(ctx, p.ID); err != nil || got.Car != want {
		t.Errorf("car %+v, %v; want %+v", got.Car, err, want)
	}
}
