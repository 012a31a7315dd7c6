package postgres_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/postgres"
	"saltbush/internal/track"
)

var _ hike.StaffStore = (*postgres.DB)(nil)

func mustAccount(t testing.TB, db *postgres.DB, name, email string) int64 {
	t.Helper()
	a, err := db.AccountStore().CreateAccount(context.Background(), account.Account{Name: name, Email: email, Roles: []account.Role{account.Leader}, Active: true, Units: account.Metric, Created: now})
	if err != nil {
		t.Fatal(err)
	}
	return int64(a.ID)
}

func TestQualificationComesBackWhole(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	ctx := context.Background()
	id := mustAccount(t, db, "Ash Moreno", "ash@example.org")
	day := func(n int) hike.Date { return hike.DateOf(now).Add(n) }
	want := hike.Qualification{Account: id, Name: "Ash Moreno", Email: "ash@example.org",
		Standings: []hike.Standing{
			{From: day(-400), Level: hike.LevelSweep, MaxClass: track.Moderate, Endorsements: []hike.Endorsement{hike.Heat}, Status: hike.StatusActive, Reason: "two hikes observed", By: "Ines Calder", Written: now},
			{From: day(-3), Level: hike.LevelSweep, MaxClass: track.Moderate, Endorsements: []hike.Endorsement{}, Status: hike.StatusLapsed, Reason: "CPR ended", By: "Ines Calder", Written: now},
		},
		Certificates: []hike.Certificate{{Account: id, Kind: "CPR", Issuer: "Sill Basin Rescue School", Number: "A-12", Through: day(30), Evidence: "copy on file"},
			{Account: id, Kind: "leader agreement", Issuer: "the house", Evidence: "signed"}},
		Observed: []hike.Observed{{Account: id, Day: day(-20), Trail: "Dry Fork", Mentor: "Ines Calder", Skills: []string{"roll and count"}, Result: "ready", Note: "calm"}},
		Absences: []hike.Absence{{Account: id, From: day(1), To: day(9), Weekdays: []time.Weekday{time.Sunday, time.Saturday}, Note: "family"}, {Account: id, From: day(2), Weekdays: []time.Weekday{time.Friday}}},
	}
	for _, s := range want.Standings {
		if err := db.AddStanding(ctx, id, s); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range want.Certificates {
		if err := db.AddCertificate(ctx, c); err != nil {
			t.Fatal(err)
		}
	}
	for _, a := range want.Absences {
		if err := db.AddAbsence(ctx, a); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.AddObserved(ctx, want.Observed[0]); err != nil {
		t.Fatal(err)
	}
	got, err := db.Qualification(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	ids := cmp.FilterPath(func(p cmp.Path) bool { return p.Last().String() == ".ID" }, cmp.Ignore())
	sameTime := cmp.Comparer(func(a, b time.Time) bool { return a.Equal(b) })
	lists := cmp.Transformer("days", func(w []time.Weekday) string { return hike.Absence{Weekdays: w}.Words() })
	if diff := cmp.Diff(want, got, ids, sameTime, lists); diff != "" {
		t.Errorf("Qualification (-want +got):\n%s", diff)
	}
	if err := db.RemoveAbsence(ctx, id+1, got.Absences[0].ID); !errors.Is(err, hike.ErrNotFound) {
		t.Errorf("another's absence is removed: %v", err)
	}
	if err := db.RemoveAbsence(ctx, id, got.Absences[0].ID); err != nil {
		t.Error(err)
	}
	if all, err := db.Qualifications(ctx); err != nil || len(all) != 1 || len(all[0].Absences) != 1 {
		t.Errorf("Qualifications = %+v, %v, want one person with one absence", all, err)
	}
}

func TestAnswersAreKept(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	ctx := context.Background()
	h := mustHike(t, db, 12)
	lead, sweep := mustAccount(t, db, "Ash Moreno", "ash@example.org"), mustAccount(t, db, "Ines Calder", "ines@example.org")
	people := []string{uuid.NewString(), uuid.NewString()}
	err := db.ChangeHike(ctx, h.ID, func(h *hike.Hike) error {
		h.Staff = []hike.Staff{{Person: people[0], Account: lead, Role: hike.Leader}, {Person: people[1], Account: sweep, Role: hike.Sweep}}
		h.OnCallAccepted = now
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := db.AcceptStaff(ctx, h.ID, people[0], now); err != nil {
		t.Fatal(err)
	}
	if _, err := db.DeclineStaff(ctx, h.ID, people[1], "away that week", now); err != nil {
		t.Fatal(err)
	}
	got, err := db.Hike(ctx, h.ID)
	if err != nil || len(got.Staff) != 1 || !got.Staff[0].Accepted() || !got.Staff[0].Answered.Equal(now) || !got.OnCallAccepted.Equal(now) {
		t.Errorf("staff %+v, on-call %s, %v; want the leader accepted", got.Staff, got.OnCallAccepted, err)
	}
	d, err := db.Declines(ctx, h.ID)
	if err != nil || len(d) != 1 || d[0].Name != "Ines Calder" || d[0].Because != "away that week" || d[0].Role != hike.Sweep {
		t.Errorf("Declines = %+v, %v", d, err)
	}
	if _, err := db.DeclineStaff(ctx, h.ID, people[1], "again", now); err == nil {
		t.Error("a part that was declined is declined again")
	}
}

func TestOnlyClosedHikesCountAsWalked(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	ctx := context.Background()
	lead := mustAccount(t, db, "Ash Moreno", "ash@example.org")
	for i, state := range []hike.State{hike.Posted, hike.Closed, hike.CalledOff} {
		h := mustHike(t, db, 12)
		err := db.ChangeHike(ctx, h.ID, func(h *hike.Hike) error {
			h.State, h.Staff = state, []hike.Staff{{Person: uuid.NewString(), Account: lead, Role: hike.Leader}}
			return nil
		})
		if err != nil {
			t.Fatal(i, err)
		}
	}
	q, err := db.Qualification(ctx, lead)
	if err != nil || len(q.Walked) != 1 || q.Walked[0].Trail != "Dry Fork" || q.Walked[0].Start.Location().String() != "America/Phoenix" {
		t.Errorf("walked %+v, %v; want the closed one, on its trailhead's clock", q.Walked, err)
	}
}

func TestRoadsAndKinds(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	ctx := context.Background()
	a, b := mustTrail(t, db), mustTrail(t, db)
	for _, minutes := range []time.Duration{40 * time.Minute, 75 * time.Minute} {
		if err := db.SaveDrive(ctx, hike.Pair{From: a.ID, To: b.ID}, minutes); err != nil {
			t.Fatal(err)
		}
	}
	r, err := db.Roads(ctx)
	if err != nil || r.Between(b.ID, a.ID).Takes != 75*time.Minute || len(r.Ends) != 2 || r.Ends[a.ID].Start != r.Ends[a.ID].End {
		t.Errorf("Roads = %+v, %v", r, err)
	}
	if err := db.SaveCertificateKind(ctx, hike.CertificateKind{Name: "CPR", Leader: true}); err != nil {
		t.Fatal(err)
	}
	if err := db.RemoveCertificateKind(ctx, "youth safety"); err != nil {
		t.Fatal(err)
	}
	k, err := db.CertificateKinds(ctx)
	if err != nil || len(k) != 3 || k[1] != (hike.CertificateKind{Name: "CPR", Leader: true}) {
		t.Errorf("CertificateKinds = %+v, %v", k, err)
	}
	if err := db.RemoveCertificateKind(ctx, "nothing"); !errors.Is(err, hike.ErrNotFound) {
		t.Errorf("removing what is not there: %v", err)
	}
}
