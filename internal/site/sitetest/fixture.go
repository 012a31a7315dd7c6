package sitetest

import (
	"context"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// A Fixture fills an empty database. It is a function of a package, not a closure: each is
// run once in a test binary and copied for every test that names it.
type Fixture = pgtest.Migrate

// Empty is a new installation: the schema and nothing in it.
func Empty(ctx context.Context, dsn string) error { return postgres.Migrate(ctx, dsn) }

// Password is that of every account of the fixtures.
const Password = "quiet-lantern-gravel-nine"

// The accounts of Staffed, in the order of their numbers from 1 on.
const (
	Coordinator = "coordinator@example.org" // Juniper Vale
	Leader      = "leads@example.org"       // Ash Moreno, leads the hike
	OtherLeader = "other@example.org"       // Ines Calder
	Trainer     = "trainer@example.org"     // Rosa Lind
	OnCall      = "oncall@example.org"      // Petra Halloway
	Safety      = "safety@example.org"      // Teo Marsh
)

// Staffed is a site with an account of each role, the trail Dry Fork, and one posted hike
// with 20 places, number 1, that starts 48 hours after the fixture was made.
func Staffed(ctx context.Context, dsn string) error {
	return Fill(ctx, dsn, func(db *postgres.DB) error {
		leads, err := addStaff(ctx, db)
		if err != nil {
			return err
		}
		trail, err := AddTrail(ctx, db, DryFork())
		if err != nil {
			return err
		}
		start := time.Now().Add(48 * time.Hour)
		_, err = db.AddHike(ctx, hike.Hike{
			Trail:   trail,
			Title:   "Dry Fork at dawn",
			Meet:    start.Add(-30 * time.Minute),
			Start:   start,
			Places:  20,
			Pace:    walk.Ordinary,
			State:   hike.Posted,
			Created: time.Now(),
			Staff:   []team.Staff{{Person: uuid.NewString(), Account: leads, Role: team.Leader}},
		})
		return err
	})
}

// Fill migrates a database and lets do store into it.
func Fill(ctx context.Context, dsn string, do func(*postgres.DB) error) error {
	if err := postgres.Migrate(ctx, dsn); err != nil {
		return err
	}
	db, err := open(ctx, dsn)
	if err != nil {
		return err
	}
	defer db.Close()
	return do(db)
}

// addStaff stores the accounts of Staffed and returns that of the hike's leader.
func addStaff(ctx context.Context, db *postgres.DB) (leads account.ID, err error) {
	for _, a := range []account.Account{
		{Name: "Juniper Vale", Email: Coordinator, Roles: []account.Role{account.Coordinator}},
		{Name: "Ash Moreno", Email: Leader, Roles: []account.Role{account.Leader}},
		{Name: "Ines Calder", Email: OtherLeader, Roles: []account.Role{account.Leader}},
		{Name: "Rosa Lind", Email: Trainer, Roles: []account.Role{account.Trainer}},
		{Name: "Petra Halloway", Email: OnCall, Roles: []account.Role{account.OnCall}},
		{Name: "Teo Marsh", Email: Safety, Roles: []account.Role{account.Safety}},
	} {
		id, err := AddAccount(ctx, db, a)
		if err != nil {
			return 0, err
		}
		if a.Email == Leader {
			leads = id
		}
	}
	return leads, nil
}

// AddAccount stores an account that may sign in with Password.
func AddAccount(ctx context.Context, db *postgres.DB, a account.Account) (account.ID, error) {
	hash, err := Hasher().Hash(ctx, Password)
	if err != nil {
		return 0, err
	}
	a.PasswordHash, a.Active, a.Units, a.Created = hash, true, account.Metric, time.Now()
	made, err := db.AccountStore().CreateAccount(ctx, a)
	return made.ID, err
}

// DryFork is a trail of 2.2 km and 199 m of climb, out and back. It has no points.
func DryFork() trail.Trail {
	return trail.Trail{
		Name:    "Dry Fork",
		Zone:    "America/Phoenix",
		Surface: walk.Firm,
		Profile: Straight(200, 1, track.OutAndBack),
		Created: time.Now(),
	}
}

// Straight is the profile of a track due north with a fix each 11.1 m, each so many metres
// above the one before.
func Straight(fixes int, climb unit.Length, shape track.Shape) track.Profile {
	var list []track.Fix
	for i := range fixes {
		at := unit.At(33.4+float64(i)*1e-4, -112)
		list = append(list, track.Fix{At: at, Elevation: 600 + unit.Length(i)*climb, HasElevation: true})
	}
	profile, err := track.NewProfile(track.Recording{Segments: [][]track.Fix{list}}, shape)
	if err != nil {
		panic(err) // the track above is sound
	}
	return profile
}

// AddTrail stores a trail with an empty file of its track.
func AddTrail(ctx context.Context, db *postgres.DB, t trail.Trail) (ref.Trail, error) {
	return db.AddTrail(ctx, t, []byte("<gpx/>"))
}
