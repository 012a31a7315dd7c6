package postgres_test

import (
	"context"
	"errors"
	"log/slog"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
)

func event(kind roll.Kind, at time.Time, people ...roll.PersonID) roll.Event {
	return roll.Event{ID: roll.EventID(uuid.NewString()), Kind: kind, At: at, By: "Juniper Vale", Persons: people, Number: len(people)}
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
	p := roll.PersonID(s.ID)
	left := event(roll.KindDeparted, h.Start, p)
	for range 2 { // a device may send twice
		rec, err := db.Append(ctx, h.ID, []roll.Event{left}, now)
		if err != nil {
			t.Fatal(err)
		}
		if len(rec.Events) != 1 || rec.Hike.State != hike.Out {
			t.Fatalf("%d events, hike %s; want 1, out", len(rec.Events), rec.Hike.State)
		}
	}
	rec, err := db.Append(ctx, h.ID, []roll.Event{event(roll.KindBack, h.Start.Add(3*time.Hour), p)}, now)
	if err != nil || rec.Hike.State != hike.Back {
		t.Fatalf("hike %s, %v; want back", rec.Hike.State, err)
	}
	undo := roll.Event{ID: roll.EventID(uuid.NewString()), Kind: roll.KindUndone, At: h.Start.Add(4 * time.Hour), By: "x", Retracts: rec.Events[1].ID}
	if rec, err = db.Append(ctx, h.ID, []roll.Event{undo}, now); err != nil || rec.Hike.State != hike.Out {
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
	if err := db.ChangeHike(ctx, h.ID, func(h *hike.Hike) error { h.State = hike.Closed; return nil }); err != nil {
		t.Fatal(err)
	}
	_, err := db.Append(ctx, h.ID, []roll.Event{event(roll.KindDeparted, h.Start)}, now)
	var refusal hike.Refusal
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
	if _, err := db.Append(ctx, h.ID, []roll.Event{event(roll.KindDeparted, h.Start, roll.PersonID(s.ID))}, now); err != nil {
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
	if len(out) != 1 || out[0].Hike.ID != h.ID || len(out[0].Events) != 1 || len(out[0].Roster) != 1 || out[0].Trail != "Dry Fork" {
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
	if _, err := db.Append(ctx, h.ID, []roll.Event{event(roll.KindReported, now)}, now); err != nil {
		t.Fatal(err)
	}
	select {
	case <-signal:
	case <-time.After(5 * time.Second):
		t.Fatal("a change of the roll was not heard")
	}
}
