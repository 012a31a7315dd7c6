package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
)

const signUpColumns = `
	id,
	hike_id,
	state,
	asked_order,
	name,
	email,
	mobile,
	emergency_name,
	emergency_phone,
	longest_walk,
	hot_days,
	water_l,
	minor,
	guardian,
	guardian_phone,
	adult,
	car_plate,
	car_make,
	car_colour,
	car_seats,
	car_lot,
	needs,
	because,
	acknowledged,
	asked,
	link`

func scanSignUp(row pgx.CollectableRow) (s hike.SignUp, err error) {
	err = row.Scan(&s.ID, &s.Hike, &s.State, &s.Order, &s.Name, &s.Email, &s.Mobile, &s.EmergencyName,
		&s.EmergencyPhone, &s.LongestWalk, &s.HotDays, &s.Water, &s.Minor, &s.Guardian, &s.GuardianPhone,
		&s.Adult, &s.Car.Plate, &s.Car.Make, &s.Car.Colour, &s.Car.Seats, &s.Car.Lot, &s.Needs, &s.Because, &s.Acknowledged,
		&s.Asked, &s.Link)
	return s, err
}

// SignUp stores a request for a place as the hike's rule admits it. The hike's row is
// locked, so however many ask at once they are admitted one after the other.
func (db *DB) SignUp(ctx context.Context, s hike.SignUp, now time.Time) (hike.SignUp, error) {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHike(ctx, tx, s.Hike, "FOR UPDATE OF h")
		if err != nil {
			return err
		}
		confirmed, waiting, err := countPlaces(ctx, tx, s.Hike)
		if err != nil {
			return err
		}
		if s.State, err = h.Admit(now, confirmed, waiting); err != nil {
			return err
		}
		return insertSignUp(ctx, tx, &s)
	})
	return s, found(err, "sign up for hike %d", s.Hike)
}

func countPlaces(ctx context.Context, q querier, id hike.HikeID) (confirmed, waiting int, err error) {
	err = q.QueryRow(ctx, `
		SELECT
			count(*) FILTER (WHERE state IN ('confirmed', 'offered')), -- an offered place is held
			count(*) FILTER (WHERE state = 'waiting')
		FROM signups
		WHERE hike_id = $1`, id).Scan(&confirmed, &waiting)
	return confirmed, waiting, err
}

func insertSignUp(ctx context.Context, tx pgx.Tx, s *hike.SignUp) error {
	return tx.QueryRow(ctx, `
		INSERT INTO signups (
			id, hike_id, state, name, email, mobile, emergency_name, emergency_phone, longest_walk,
			hot_days, water_l, minor, guardian, guardian_phone, adult,
			car_plate, car_make, car_colour, car_seats, car_lot, needs, acknowledged, asked, link
		) VALUES (
			@id, @hike_id, @state, @name, @email, @mobile, @emergency_name, @emergency_phone, @longest_walk,
			@hot_days, @water_l, @minor, @guardian, @guardian_phone, @adult,
			@car_plate, @car_make, @car_colour, @car_seats, @car_lot, @needs, @acknowledged, @asked, @link
		) RETURNING asked_order`, pgx.NamedArgs{
		"id": s.ID, "hike_id": s.Hike, "state": s.State, "name": s.Name, "email": s.Email, "mobile": s.Mobile,
		"emergency_name": s.EmergencyName, "emergency_phone": s.EmergencyPhone, "longest_walk": s.LongestWalk,
		"hot_days": s.HotDays, "water_l": s.Water, "minor": s.Minor, "guardian": s.Guardian, "guardian_phone": s.GuardianPhone,
		"adult": s.Adult, "car_plate": s.Car.Plate, "car_make": s.Car.Make, "car_colour": s.Car.Colour,
		"car_seats": s.Car.Seats, "car_lot": s.Car.Lot, "needs": s.Needs,
		"acknowledged": s.Acknowledged, "asked": s.Asked, "link": s.Link,
	}).Scan(&s.Order)
}

// SignUps lists a hike's sign-ups in the order of asking.
func (db *DB) SignUps(ctx context.Context, id hike.HikeID) ([]hike.SignUp, error) {
	list, err := signUpsOf(ctx, db.pool, id)
	return list, found(err, "list sign-ups of hike %d", id)
}

func signUpsOf(ctx context.Context, q querier, id hike.HikeID) ([]hike.SignUp, error) {
	rows, _ := q.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE hike_id = $1 ORDER BY asked_order`, id)
	return pgx.CollectRows(rows, scanSignUp)
}

// SignUpByLink finds a place by the hash of its secret.
func (db *DB) SignUpByLink(ctx context.Context, hash []byte) (hike.SignUp, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE link = $1`, hash)
	s, err := pgx.CollectExactlyOneRow(rows, scanSignUp)
	return s, found(err, "find place by link")
}

// ChangeSignUp applies change with the hike locked, then promotes from the waiting list.
func (db *DB) ChangeSignUp(ctx context.Context, id string, now time.Time, change func(*hike.SignUp) error) (promoted []hike.SignUp, err error) {
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := hikeOfSignUp(ctx, tx, id)
		if err != nil {
			return err
		}
		rows, _ := tx.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE id = $1`, id)
		s, err := pgx.CollectExactlyOneRow(rows, scanSignUp)
		if err != nil {
			return err
		}
		if err := change(&s); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `UPDATE signups SET state = $2, because = $3 WHERE id = $1`, s.ID, s.State, s.Because); err != nil {
			return err
		}
		promoted, err = promote(ctx, tx, h, now)
		return err
	})
	return promoted, found(err, "change sign-up %s", id)
}

// hikeOfSignUp locks the hike first: whoever changes a place holds its hike.
func hikeOfSignUp(ctx context.Context, tx pgx.Tx, id string) (hike.Hike, error) {
	var of hike.HikeID
	if err := tx.QueryRow(ctx, `SELECT hike_id FROM signups WHERE id = $1`, id).Scan(&of); err != nil {
		return hike.Hike{}, err
	}
	return loadHike(ctx, tx, of, "FOR UPDATE OF h")
}

// promote confirms as many of the waiting as the hike's rule allows, first asked first.
func promote(ctx context.Context, tx pgx.Tx, h hike.Hike, now time.Time) ([]hike.SignUp, error) {
	confirmed, waiting, err := countPlaces(ctx, tx, h.ID)
	if err != nil {
		return nil, err
	}
	n := h.Promotable(now, confirmed, waiting)
	if n == 0 {
		return nil, nil
	}
	rows, _ := tx.Query(ctx, `
		UPDATE signups SET state = 'confirmed'
		WHERE id IN (
			SELECT id FROM signups
			WHERE hike_id = $1 AND state = 'waiting'
			ORDER BY asked_order
			LIMIT $2
		)
		RETURNING`+signUpColumns, h.ID, n)
	return pgx.CollectRows(rows, scanSignUp)
}
