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
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

var _ staffing.Store = (*postgres.DB)(nil)

func mustAccount(t testing.TB, db *postgres.DB, name, email string) ref.Account {
	t.Helper()
	a, err := db.AccountStore().CreateAccount(context.Background(), account.Account{Name: name, Email: email,
		Roles: []account.Role{account.Leader}, Active: true, Units: account.Metric, Created: now})
	if err != nil {
		t.Fatal(err)
	}
	return a.ID
}

// wholeRecord is a record with something of every kind.
func wholeRecord(id ref.Account) team.Qualification {
	day := func(n int) unit.Date { return unit.DateOf(now).Add(n) }
	return team.Qualification{Account: id, Name: "Ash Moreno", Email: "ash@example.org",
		Approvals: []team.Approval{
			{
				From:         day(-400),
				Level:        team.LevelSweep,
				MaxClass:     track.Moderate,
				Endorsements: []team.Endorsement{team.Heat},
				Status:       team.StatusActive,
				Reason:       "two hikes observed",
				By:           "Ines Calder",
				Written:      now,
			},
			{
				From:         day(-3),
				Level:        team.LevelSweep,
				MaxClass:     track.Moderate,
				Endorsements: []team.Endorsement{},
				Status:       team.StatusLapsed,
				Reason:       "CPR ended",
				By:           "Ines Calder",
				Written:      now,
			},
		},
		Certificates: []team.Certificate{
			{
				Account:  id,
				Kind:     "CPR",
				Issuer:   "Sill Basin Rescue School",
				Number:   "A-12",
				Through:  day(30),
				Evidence: "copy on file",
			},
			{Account: id, Kind: "leader agreement", Issuer: "the house", Evidence: "signed"},
		},
		Observed: []team.Observed{
			{
				Account: id,
				Day:     day(-20),
				Trail:   "Dry Fork",
				Mentor:  "Ines Calder",
				Skills:  []string{"roll and count"},
				Result:  "ready",
				Note:    "calm",
			},
		},
		Absences: []team.Absence{
			{Account: id, From: day(1), To: day(9), Weekdays: []time.Weekday{time.Sunday, time.Saturday},
				Note: "family"},
			{Account: id, From: day(2), Weekdays: []time.Weekday{time.Friday}},
		},
	}
}

// mustStore stores a record piece by piece.
func mustStore(t *testing.T, db *postgres.DB, q team.Qualification) {
	t.Helper()
	ctx := context.Background()
	for _, s := range q.Approvals {
		if err := db.AddApproval(ctx, q.Account, s); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range q.Certificates {
		if err := db.AddCertificate(ctx, c); err != nil {
			t.Fatal(err)
		}
	}
	for _, a := range q.Absences {
		if err := db.AddAbsence(ctx, a); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.AddObserved(ctx, q.Observed[0]); err != nil {
		t.Fatal(err)
	}
}

func TestQualificationComesBackWhole(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	ctx := context.Background()
	id := mustAccount(t, db, "Ash Moreno", "ash@example.org")
	want := wholeRecord(id)
	mustStore(t, db, want)
	got, err := db.Qualification(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	ids := cmp.FilterPath(func(p cmp.Path) bool { return p.Last().String() == ".ID" }, cmp.Ignore())
	sameTime := cmp.Comparer(func(a, b time.Time) bool { return a.Equal(b) })
	lists := cmp.Transformer("days", func(w []time.Weekday) string { return team.Absence{Weekdays: w}.Words() })
	if diff := cmp.Diff(want, got, ids, sameTime, lists); diff != "" {
		t.Errorf("Qualification (-want +got):\n%s", diff)
	}
	if err := db.RemoveAbsence(ctx, id+1, got.Absences[0].ID); !errors.Is(err, fault.ErrNotFound) {
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
	lead := mustAccount(t, db, "Ash Moreno", "ash@example.org")
	sweep := mustAccount(t, db, "Ines Calder", "ines@example.org")
	people := []string{uuid.NewString(), uuid.NewString()}
	err := db.ChangeHike(ctx, h.ID, func(h *hike.Hike) error {
		h.Staff = []team.Staff{
			{Person: people[0], Account: lead, Role: team.Leader},
			{Person: people[1], Account: sweep, Role: team.Sweep},
		}
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
	if err != nil || len(got.Staff) != 1 || !got.Staff[0].Accepted() || !got.Staff[0].Answered.Equal(now) ||
		!got.OnCallAccepted.Equal(now) {
		t.Errorf("staff %+v, on-call %s, %v; want the leader accepted", got.Staff, got.OnCallAccepted, err)
	}
	d, err := db.Declines(ctx, h.ID)
	if err != nil || len(d) != 1 || d[0].Name != "Ines Calder" || d[0].Because != "away that week" ||
		d[0].Role != team.Sweep {
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
			h.State, h.Staff = state, []team.Staff{{Person: uuid.NewString(), Account: lead, Role: team.Leader}}
			return nil
		})
		if err != nil {
			t.Fatal(i, err)
		}
	}
	q, err := db.Qualification(ctx, lead)
	if err != nil || len(q.Walked) != 1 || q.Walked[0].Trail != "Dry Fork" ||
		q.Walked[0].Start.Location().String() != "America/Phoenix" {
		t.Errorf("walked %+v, %v; want the closed one, on its trailhead's clock", q.Walked, err)
	}
}

func TestRoadsAndKinds(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	ctx := context.Background()
	a, b := mustTrail(t, db), mustTrail(t, db)
	for _, minutes := range []time.Duration{40 * time.Minute, 75 * time.Minute} {
		if err := db.SaveDrive(ctx, trail.Pair{From: a.ID, To: b.ID}, minutes); err != nil {
			t.Fatal(err)
		}
	}
	r, err := db.Roads(ctx)
	if err != nil || r.Between(b.ID, a.ID).Takes != 75*time.Minute || len(r.Ends) != 2 ||
		r.Ends[a.ID].Start != r.Ends[a.ID].End {
		t.Errorf("Roads = %+v, %v", r, err)
	}
	if err := db.SaveCertificateKind(ctx, team.CertificateKind{Name: "CPR", Leader: true}); err != nil {
		t.Fatal(err)
	}
	if err := db.RemoveCertificateKind(ctx, "youth safety"); err != nil {
		t.Fatal(err)
	}
	k, err := db.CertificateKinds(ctx)
	if err != nil || len(k) != 3 || k[1] != (team.CertificateKind{Name: "CPR", Leader: true}) {
		t.Errorf("CertificateKinds = %+v, %v", k, err)
	}
	if err := db.RemoveCertificateKind(ctx, "nothing"); !errors.Is(err, fault.ErrNotFound) {
		t.Errorf("removing what is not there: %v", err)
	}
}

func TestHouseWithoutARowHasTheDefaults(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	h, err := db.House(context.Background())
	if err != nil || h.Rules != rules.DefaultRules() || h.Organisation != "" {
		t.Errorf("got %+v, %v", h, err)
	}
}

func TestRulesReachTheHikesAndTheirHistoryStands(t *testing.T) {
	t.Parallel()
	ctx, at := context.Background(), time.Date(2027, 3, 1, 9, 0, 0, 0, time.UTC)
	db, _ := open(t)
	h := mustHike(t, db, 8)
	house := rules.House{Organisation: "Dry Fork Walkers", Emergency: "911", Zone: "America/Phoenix"}
	if err := db.SaveHouse(ctx, house); err != nil {
		t.Fatal(err)
	}
	set := func(ratio int, reason string) error {
		return db.ChangeHouse(ctx, func(h *rules.House) ([]rules.HouseChange, error) {
			to := h.Rules
			to.Ratio = ratio
			return h.Rule(to, reason, "Juniper Vale", at)
		})
	}
	if err := set(6, ""); err != nil {
		t.Fatal(err)
	}
	var invalid fault.Invalid
	if err := set(12, ""); !errors.As(err, &invalid) {
		t.Errorf("toward risk without a reason: %v", err)
	}
	got, err := db.Hike(ctx, h.ID)
	if err != nil || got.Rules().Ratio != 6 {
		t.Errorf("the hike's ratio is %d, %v; want the house's 6", got.Rules().Ratio, err)
	}
	list, err := db.HouseChanges(ctx, 10)
	if err != nil || len(list) != 1 || list[0].From != "8 people" || list[0].To != "6 people" ||
		list[0].By != "Juniper Vale" ||
		!list[0].At.Equal(at) {
		t.Errorf("history %+v, %v", list, err)
	}
	if _, err := db.Pool().Exec(ctx, `UPDATE house_changes SET reason = 'better'`); err == nil {
		t.Error("the history was changed")
	}
	if _, err := db.Pool().Exec(ctx, `DELETE FROM house_changes`); err == nil {
		t.Error("the history was deleted")
	}
}

func TestTrailComesBackAsStored(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	want := mustTrail(t, db)
	got, err := db.Trail(context.Background(), want.ID)
	if err != nil {
		t.Fatal(err)
	}
	// Positions are stored to a hundredth of a millimeter, heights to a millimeter.
	near := cmpopts.EquateApprox(0, 0.001)
	if d := cmp.Diff(want, got, near, cmpopts.EquateEmpty(), cmpopts.IgnoreFields(trail.Point{}, "ID")); d != "" {
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
	err := db.ChangeTrail(ctx, tr.ID, func(t *trail.Trail) error {
		t.Name = "Spoiled"
		return fault.Refusal("no")
	})
	var refusal fault.Refusal
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
		if !errors.Is(err, fault.ErrNotFound) {
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
		h.Staff = []team.Staff{
			{
				Person:  uuid.NewString(),
				Account: a.ID,
				Name:    a.Name,
				Phone:   a.Phone,
				Role:    team.Leader,
				Answer:  team.AnswerAsked,
			},
		}
		h.Forecast = &plan.Forecast{Low: 12, High: 27, DewPoint: 1, Wind: 2, Cloud: 0.1}
		h.Decision = hike.Decision{Go: true, By: "Juniper Vale", At: now, Reason: "cooler than forecast"}
		h.OnCall = team.Contact{Name: "Ash Moreno", Phone: "555 0101"}
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
