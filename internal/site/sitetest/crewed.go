package sitetest

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/postgres"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// change runs a fixture, and then do on its database.
func change(ctx context.Context, dsn string, f Fixture, do func(*postgres.DB) error) error {
	if err := f(ctx, dsn); err != nil {
		return err
	}
	db, err := open(ctx, dsn)
	if err != nil {
		return err
	}
	defer db.Close()
	return do(db)
}

// Crewed is Staffed 20 hours before the hike, which goes. Ash Moreno leads, Ines Calder sweeps, Oren
// Vale is on call by phone, and three walkers have places, so the roll has five people.
func Crewed(ctx context.Context, dsn string) error {
	return change(ctx, dsn, Staffed, func(db *postgres.DB) error {
		err := db.ChangeHike(ctx, 1, func(h *hike.Hike) error {
			h.Staff = append(h.Staff, team.Staff{Person: uuid.NewString(), Account: 3, Role: team.Sweep})
			h.OnCall = team.Contact{Name: "Oren Vale", Phone: "555 0101 333", Email: "oren.vale@example.org"}
			h.Start = time.Now().Add(20 * time.Hour)
			h.Meet = h.Start.Add(-30 * time.Minute)
			h.Decision = hike.Decision{Go: true, Outcome: hike.Goes, By: "Ash Moreno", At: time.Now()}
			return nil
		})
		if err != nil {
			return err
		}
		return signUpAll(ctx, db,
			Walker("Amaya Reyes", "walker@example.org"),
			Walker("Bashir Noor", "walker@example.org"),
			Walker("Lotte Vandermeer", "walker@example.org"),
		)
	})
}

// signUpAll stores sign-ups with private links that nobody has.
func signUpAll(ctx context.Context, db *postgres.DB, list ...signup.SignUp) error {
	for _, s := range list {
		s.Link = []byte(s.ID)
		if _, err := db.SignUp(ctx, s, s.Asked); err != nil {
			return err
		}
	}
	return nil
}

// Ready is Staffed with a hike that waits for its decision: Ash Moreno leads, Ines Calder
// sweeps, both have accepted, Rosa Lind is on call by phone, and Amaya Reyes
// (amaya@example.org) and Wren Abara (wren@example.org) have places.
func Ready(ctx context.Context, dsn string) error {
	return change(ctx, dsn, Staffed, func(db *postgres.DB) error {
		err := db.ChangeHike(ctx, 1, func(h *hike.Hike) error {
			sweep := team.Staff{Person: uuid.NewString(), Account: 3, Role: team.Sweep}
			h.OnCall = team.Contact{Name: "Rosa Lind", Phone: "602-555-0113", Email: "rosa.lind@example.org"}
			h.Staff = append(h.Staff, sweep)
			for i := range h.Staff {
				h.Staff[i].Answer = team.AnswerAccepted
			}
			return nil
		})
		if err != nil {
			return err
		}
		return signUpAll(ctx, db,
			onTheTrip("Amaya Reyes", "amaya@example.org"),
			onTheTrip("Wren Abara", "wren@example.org"),
		)
	})
}

// onTheTrip is a walker whose numbers pages show in one form.
func onTheTrip(name, email string) signup.SignUp {
	s := Walker(name, email)
	s.Mobile, s.EmergencyName, s.EmergencyPhone = "602-555-0131", "Kin of theirs", "602-555-0132"
	return s
}

// Planned is Ready ten hours before the start, with a forecast, a plan, places on the way,
// and twenty more who asked for a place: Walker Number 01 to 20. One of staff to eight people
// lets 18 of them in.
func Planned(ctx context.Context, dsn string) error {
	return change(ctx, dsn, Ready, func(db *postgres.DB) error {
		if err := db.ChangeHike(ctx, 1, startsToday); err != nil {
			return err
		}
		if err := db.ChangeTrail(ctx, 1, addWay); err != nil {
			return err
		}
		for i := range 20 {
			s := onTheTrip(fmt.Sprintf("Walker Number %02d", i+1), fmt.Sprintf("w%d@example.org", i))
			s.Car = signup.Car{Plate: fmt.Sprintf("SAND %02d", i)}
			if err := signUpAll(ctx, db, s); err != nil {
				return err
			}
		}
		return SavePlan(ctx, db, time.Now().Add(-3*time.Hour))
	})
}

func startsToday(h *hike.Hike) error {
	h.Start = time.Now().Add(10 * time.Hour).Truncate(time.Minute).In(h.Start.Location())
	h.Meet = h.Start.Add(-30 * time.Minute)
	h.Forecast = &plan.Forecast{
		Low:      unit.Celsius(18),
		High:     unit.Celsius(31),
		DewPoint: unit.Celsius(4),
		Wind:     unit.Speed(2.2),
		Cloud:    0.1,
	}
	return nil
}

func addWay(t *trail.Trail) error {
	t.Points = append(t.Points,
		trail.Point{Kind: trail.Junction, Name: "Notch Junction", Along: 600, Note: "marked by a post"},
		trail.Point{Kind: trail.BailOut, Name: "Ranch road gate", Along: 1200, Note: "marked by a post"},
		trail.Point{Kind: trail.Goal, Name: "The saddle", Along: 1800, Note: "marked by a post"},
	)
	return nil
}

// SavePlan computes the plan of hike 1 from its forecast and stores it.
func SavePlan(ctx context.Context, db *postgres.DB, made time.Time) error {
	h, err := db.Hike(ctx, 1)
	if err != nil {
		return err
	}
	way, err := db.Trail(ctx, h.Trail)
	if err != nil {
		return err
	}
	stored, err := hike.PlanFor(h, way, "Ash Moreno", made)
	if err != nil {
		return err
	}
	return db.SavePlan(ctx, stored)
}
