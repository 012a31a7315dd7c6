package postgres_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
)

func TestTrailComesBackAsStored(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	want := mustTrail(t, db)
	got, err := db.Trail(context.Background(), want.ID)
	if err != nil {
		t.Fatal(err)
	}
	// Positions are stored to a hundredth of a millimetre, heights to a millimetre.
	near := cmpopts.EquateApprox(0, 0.001)
	if d := cmp.Diff(want, got, near, cmpopts.EquateEmpty(), cmpopts.IgnoreFields(hike.Point{}, "ID")); d != "" {
		t.Errorf("stored and read back (-want +got):\n%s", d)
	}
	if gpx, err := db.Upload(context.Background(), want.ID); err != nil || string(gpx) != "<gpx/>" {
		t.Errorf("upload %q, %v", gpx, err)
	}
}

func TestChangeTrailSavesNothingOnARefusal(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	tr := mustTrail(t, db)
	err := db.ChangeTrail(ctx, tr.ID, func(t *hike.Trail) error {
		t.Name = "Spoiled"
		return hike.Refusal("no")
	})
	var refusal hike.Refusal
	if !errors.As(err, &refusal) {
		t.Fatalf("got %v, want the refusal", err)
	}
	if got, _ := db.Trail(ctx, tr.ID); got.Name != "Dry Fork" {
		t.Errorf("name %q was saved", got.Name)
	}
}

func TestUnknownThingsAreNotFound(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	_, trail := db.Trail(ctx, 99)
	_, aHike := db.Hike(ctx, 99)
	_, place := db.SignUpByLink(ctx, []byte("nothing"))
	_, latest := db.LatestPlan(ctx, 99)
	for what, err := range map[string]error{"trail": trail, "hike": aHike, "place": place, "plan": latest} {
		if !errors.Is(err, hike.ErrNotFound) {
			t.Errorf("%s: got %v, want not found", what, err)
		}
	}
}

func TestHikeComesBackAsStored(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	a, err := db.AccountStore().CreateAccount(ctx, account.Account{Name: "Juniper Vale", Email: "juniper@example.org",
		Phone: "555 0100", Roles: []account.Role{account.Leader}, Active: true, Units: account.Metric, Created: now})
	if err != nil {
		t.Fatal(err)
	}
	want := mustHike(t, db, 12)
	err = db.ChangeHike(ctx, want.ID, func(h *hike.Hike) error {
		h.Staff = []hike.Staff{{Person: uuid.NewString(), Account: int64(a.ID), Name: a.Name, Phone: a.Phone, Role: hike.Leader, Answer: hike.AnswerAsked}}
		h.Forecast = &plan.Forecast{Low: 12, High: 27, DewPoint: 1, Wind: 2, Cloud: 0.1}
		h.Decision = hike.Decision{Go: true, By: "Juniper Vale", At: now, Reason: "cooler than forecast"}
		h.OnCall = hike.Contact{Name: "Ash Moreno", Phone: "555 0101"}
		want = *h
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	got, err := db.Hike(ctx, want.ID)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, got, cmpopts.EquateEmpty(), cmpopts.EquateApproxTime(time.Microsecond)); d != "" {
		t.Errorf("stored and read back (-want +got):\n%s", d)
	}
	if zone := got.Start.Location().String(); zone != "America/Phoenix" {
		t.Errorf("start is in %s, want the trailhead's zone", zone)
	}
	list, err := db.Hikes(ctx, now, now.Add(30*24*time.Hour))
	if err != nil || len(list) != 1 || list[0].Trail.Name != "Dry Fork" {
		t.Errorf("listed %v, %v", list, err)
	}
}
