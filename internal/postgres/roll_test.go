package postgres_test

import (
	"context"
	"errors"
	"log/slog"
	"saltbush/internal/party"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/ride"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
	"saltbush/internal/trail"
)

func event(kind party.Kind, at time.Time, people ...party.PersonID) party.Event {
	return party.Event{
		ID:      party.EventID(uuid.NewString()),
		Kind:    kind,
		At:      at,
		By:      "Juniper Vale",
		Persons: people,
		Number:  len(people),
	}
}

func TestAppendIsIdempotentAndMovesTheHike(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 5)
	s, err := db.SignUp(ctx, request(h.ID, 1), now)
	if err != nil {
		t.Fatal(err)
	}
	p := party.PersonID(s.ID)
	left := event(party.KindDeparted, h.Start, p)
	for range 2 { // a device may send twice
		rec, err := db.Append(ctx, h.ID, []party.Event{left}, now)
		if err != nil {
			t.Fatal(err)
		}
		if len(rec.Events) != 1 || rec.Hike.State != hike.Out {
			t.Fatalf("%d events, hike %s; want 1, out", len(rec.Events), rec.Hike.State)
		}
	}
	rec, err := db.Append(ctx, h.ID, []party.Event{event(party.KindBack, h.Start.Add(3*time.Hour), p)}, now)
	if err != nil || rec.Hike.State != hike.Back {
		t.Fatalf("hike %s, %v; want back", rec.Hike.State, err)
	}
	undo := party.Event{
		ID:       party.EventID(uuid.NewString()),
		Kind:     party.KindUndone,
		At:       h.Start.Add(4 * time.Hour),
		By:       "x",
		Retracts: rec.Events[1].ID,
	}
	if rec, err = db.Append(ctx, h.ID, []party.Event{undo}, now); err != nil || rec.Hike.State != hike.Out {
		t.Fatalf("after the undo hike %s, %v; want out again", rec.Hike.State, err)
	}
	if stored, err := db.Hike(ctx, h.ID); err != nil || stored.State != hike.Out {
		t.Errorf("stored state %s, %v", stored.State, err)
	}
}

func TestClosedRollTakesNoRecords(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 5)
	if err := db.ChangeHike(ctx, h.ID, func(h *hike.Hike) error {
		h.State = hike.Closed
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	_, err := db.Append(ctx, h.ID, []party.Event{event(party.KindDeparted, h.Start)}, now)
	var refusal fault.Refusal
	if !errors.As(err, &refusal) {
		t.Errorf("got %v, want a refusal", err)
	}
}

func TestWatchedListsWhoIsOut(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	mustHike(t, db, 5) // in the future, not out
	h := mustHike(t, db, 5)
	s, err := db.SignUp(ctx, request(h.ID, 1), now)
	if err != nil {
		t.Fatal(err)
	}
	left := event(party.KindDeparted, h.Start, party.PersonID(s.ID))
	if _, err := db.Append(ctx, h.ID, []party.Event{left}, now); err != nil {
		t.Fatal(err)
	}
	list, err := db.Watched(ctx)
	if err != nil {
		t.Fatal(err)
	}
	var out []roll.Watched
	for _, w := range list {
		if w.Hike.State == hike.Out {
			out = append(out, w)
		}
	}
	if len(out) != 1 || out[0].Hike.ID != h.ID || len(out[0].Events) != 1 || len(out[0].Roster) != 1 ||
		out[0].Trail != "Dry Fork" {
		t.Errorf("watched %+v", out)
	}
}

func TestChangesAreHeard(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	db, _ := open(t)
	h := mustHike(t, db, 5)
	changes := db.NewChanges(slog.New(slog.DiscardHandler))
	signal, end := changes.Subscribe()
	defer end()
	go changes.Run(ctx)
	<-signal // listening has begun
	if _, err := db.Append(ctx, h.ID, []party.Event{event(party.KindReported, now)}, now); err != nil {
		t.Fatal(err)
	}
	select {
	case <-signal:
	case <-time.After(5 * time.Second):
		t.Fatal("a change of the roll was not heard")
	}
}

// A departure is judged by the roll at the time it is stored, not by what the page showed.
func TestDepartureIsJudgedWhereItIsKept(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 5)
	s, err := db.SignUp(ctx, request(h.ID, 1), now)
	if err != nil {
		t.Fatal(err)
	}
	here := event(party.KindHere, h.Meet, party.PersonID(s.ID))
	if _, err := db.Append(ctx, h.ID, []party.Event{here}, now); err != nil {
		t.Fatal(err)
	}
	leave := event(party.KindDeparted, h.Start)
	var refusal fault.Refusal
	if _, err := db.Append(ctx, h.ID, []party.Event{leave}, now, roll.MayDepart); !errors.As(err, &refusal) {
		t.Fatalf("error %v, want a refusal: no staff is here", err)
	}
	leave.Note = "the leader walks ahead of us"
	rec, err := db.Append(ctx, h.ID, []party.Event{leave}, now, roll.MayDepart)
	if err != nil {
		t.Fatal(err)
	}
	if d := rec.State().Departure; d.Reason != leave.Note || len(d.Against) == 0 || rec.Hike.State != hike.Out {
		t.Errorf("departure %+v, hike %s; want reason, what stood against it, out", d, rec.Hike.State)
	}
	again, err := db.Append(ctx, h.ID, []party.Event{leave}, now, roll.MayDepart)
	if err != nil || len(again.Events) != 2 {
		t.Errorf("sent twice: %d events, %v; want 2 and no fault", len(again.Events), err)
	}
}

func TestTermsOfATrail(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 5)
	err := db.ChangeTrail(ctx, h.Trail, func(tr *trail.Trail) error {
		tr.PermitCap, tr.PermitWithoutStaff = 12, true
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	rec, err := db.Record(ctx, h.ID)
	if err != nil || rec.Terms.PermitCap != 12 || rec.Terms.PermitStaff {
		t.Errorf("terms %+v, %v; want a cap of 12 without staff", rec.Terms, err)
	}
}

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
	want := ride.Book{
		Shuttle: ride.Shuttle{EndLot: "Far gate", Drive: 25 * time.Minute, By: "Ash Moreno", At: now},
		Sharing: map[string]ride.Sharing{place.ID: {Town: "Dry Mills", Since: now}, staff: {}},
		Cars:    map[string]signup.Car{staff: {Plate: "S 1", Colour: "red", Seats: 3}},
		Told:    map[string]ride.RideTold{place.ID: {Part: `{"Own":"end"}`, Times: 2}, staff: {}},
		Opened:  now.Add(time.Hour),
	}
	for range 2 { // a second time replaces the first
		err = db.ChangeRides(ctx, h.ID, func(of hike.Hike, places []signup.SignUp, b *ride.Book) error {
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
	err = db.ChangeRides(ctx, h.ID, func(_ hike.Hike, _ []signup.SignUp, b *ride.Book) error {
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
	want := signup.Car{Plate: "DRY 7", Make: "Tumbril", Colour: "sand", Seats: 2}
	if _, err = db.ChangeSignUp(ctx, p.ID, now, func(s *signup.SignUp) error {
		s.Car = want
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if got, err := db.SignUpByID(ctx, p.ID); err != nil || got.Car != want {
		t.Errorf("car %+v, %v; want %+v", got.Car, err, want)
	}
}
