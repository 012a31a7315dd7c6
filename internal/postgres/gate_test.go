package postgres_test

import (
	"context"
	"errors"
	"testing"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
)

// The gate sees the marks that are there when the departure is kept, not those that the
// page showed when it was drawn.
func TestDepartureIsJudgedWhereItIsKept(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 5)
	s, err := db.SignUp(ctx, request(h.ID, 1), now)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Append(ctx, h.ID, []roll.Event{event(roll.KindHere, h.Meet, roll.PersonID(s.ID))}, now); err != nil {
		t.Fatal(err)
	}
	leave := event(roll.KindDeparted, h.Start)
	var refusal hike.Refusal
	if _, err := db.Append(ctx, h.ID, []roll.Event{leave}, now, roll.MayDepart); !errors.As(err, &refusal) {
		t.Fatalf("error %v, want a refusal: no staff is here", err)
	}
	leave.Note = "the leader walks ahead of us"
	rec, err := db.Append(ctx, h.ID, []roll.Event{leave}, now, roll.MayDepart)
	if err != nil {
		t.Fatal(err)
	}
	if d := rec.State().Departure; d.Reason != leave.Note || len(d.Against) == 0 || rec.Hike.State != hike.Out {
		t.Errorf("departure %+v, hike %s; want reason, what stood against it, out", d, rec.Hike.State)
	}
	if again, err := db.Append(ctx, h.ID, []roll.Event{leave}, now, roll.MayDepart); err != nil || len(again.Events) != 2 {
		t.Errorf("sent twice: %d events, %v; want 2 and no fault", len(again.Events), err)
	}
}

func TestTermsOfATrail(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	h := mustHike(t, db, 5)
	err := db.ChangeTrail(ctx, h.Trail, func(tr *hike.Trail) error { tr.PermitCap, tr.PermitWithoutStaff = 12, true; return nil })
	if err != nil {
		t.Fatal(err)
	}
	rec, err := db.Record(ctx, h.ID)
	if err != nil || rec.Terms.PermitCap != 12 || rec.Terms.PermitStaff {
		t.Errorf("terms %+v, %v; want a cap of 12 without staff", rec.Terms, err)
	}
}
