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
	contact_email,
	contact_asked,
	contact_confirmed,
	longest_walk,
	hot_days,
	water_l,
	told,
	minor,
	guardian,
	guardian_phone,
	consented,
	adult,
	car_plate,
	car_make,
	car_colour,
	car_seats,
	car_lot,
	EXISTS (SELECT FROM medical_cards c WHERE c.signup_id = signups.id),
	because,
	acknowledged,
	risk_version,
	risk_accepted,
	screening,
	held_until,
	no_show,
	asked,
	brought_by,
	link`

func scanSignUp(row pgx.CollectableRow) (s hike.SignUp, err error) {
	err = row.Scan(&s.ID, &s.Hike, &s.State, &s.Order, &s.Name, &s.Email, &s.Mobile, &s.EmergencyName,
		&s.EmergencyPhone, &s.ContactEmail, scanZero(&s.ContactAsked), scanZero(&s.ContactConfirmed), &s.LongestWalk, &s.HotDays, &s.Water,
		&s.Told, &s.Minor, &s.Guardian, &s.GuardianPhone, scanZero(&s.Consented),
		&s.Adult, &s.Car.Plate, &s.Car.Make, &s.Car.Colour, &s.Car.Seats, &s.Car.Lot, &s.Carded, &s.Because, &s.Acknowledged,
		&s.RiskVersion, scanZero(&s.RiskAccepted), &s.Screening, scanZero(&s.HeldUntil), &s.NoShow, &s.Asked, &s.BroughtBy, &s.Link)
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
		if err := checkAdult(ctx, tx, s, h); err != nil {
			return err
		}
		taken, waiting, err := countPlaces(ctx, tx, s.Hike, now)
		if err != nil {
			return err
		}
		if err := h.Admit(&s, now, taken, waiting); err != nil {
			return err
		}
		if err := insertSignUp(ctx, tx, &s); err != nil {
			return err
		}
		return db.sealNeeds(ctx, tx, &s)
	})
	return s, found(err, "sign up for hike %d", s.Hike)
}

// checkAdult holds the adult of a minor against the hike while it is locked: of several
// children at once, no more are taken than one adult may answer for.
func checkAdult(ctx context.Context, tx pgx.Tx, s hike.SignUp, h hike.Hike) error {
	if !s.Minor {
		return nil
	}
	others, err := signUpsOf(ctx, tx, s.Hike)
	if err != nil {
		return err
	}
	return hike.CheckAdult(s, h, others)
}

// countPlaces counts as SignUp.HoldsPlace does.
func countPlaces(ctx context.Context, q querier, id hike.HikeID, now time.Time) (taken, waiting int, err error) {
	err = q.QueryRow(ctx, `
		SELECT
			count(*) FILTER (WHERE state = 'confirmed' OR state = 'offered' AND held_until IS NULL OR state IN ('asked', 'offered') AND held_until > $2),
			count(*) FILTER (WHERE state = 'waiting')
		FROM signups
		WHERE hike_id = $1`, id, now).Scan(&taken, &waiting)
	return taken, waiting, err
}

func insertSignUp(ctx context.Context, tx pgx.Tx, s *hike.SignUp) error {
	return tx.QueryRow(ctx, `
		INSERT INTO signups (
			id, hike_id, state, name, email, mobile, emergency_name, emergency_phone, contact_email, longest_walk,
			hot_days, water_l, told, minor, guardian, guardian_phone, consented, adult,
			car_plate, car_make, car_colour, car_seats, car_lot,
			acknowledged, risk_version, risk_accepted, screening, held_until, asked, brought_by, link
		) VALUES (
			@id, @hike_id, @state, @name, @email, @mobile, @emergency_name, @emergency_phone, @contact_email, @longest_walk,
			@hot_days, @water_l, @told, @minor, @guardian, @guardian_phone, @consented, @adult,
			@car_plate, @car_make, @car_colour, @car_seats, @car_lot,
			@acknowledged, @risk_version, @risk_accepted, @screening, @held_until, @asked, @brought_by, @link
		) RETURNING asked_order`, pgx.NamedArgs{
		"id": s.ID, "hike_id": s.Hike, "state": s.State, "name": s.Name, "email": s.Email, "mobile": s.Mobile,
		"emergency_name": s.EmergencyName, "emergency_phone": s.EmergencyPhone, "contact_email": s.ContactEmail, "longest_walk": s.LongestWalk,
		"hot_days": s.HotDays, "water_l": s.Water, "told": s.Told, "minor": s.Minor, "guardian": s.Guardian, "guardian_phone": s.GuardianPhone,
		"consented": orNull(s.Consented), "adult": s.Adult, "car_plate": s.Car.Plate, "car_make": s.Car.Make, "car_colour": s.Car.Colour,
		"car_seats": s.Car.Seats, "car_lot": s.Car.Lot,
		"acknowledged": s.Acknowledged, "risk_version": s.RiskVersion, "risk_accepted": orNull(s.RiskAccepted),
		"screening": s.Screening, "held_until": orNull(s.HeldUntil), "asked": s.Asked, "brought_by": s.BroughtBy, "link": s.Link,
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

// SignUpByID finds a place by its number.
func (db *DB) SignUpByID(ctx context.Context, id string) (hike.SignUp, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE id::text = $1`, id)
	s, err := pgx.CollectExactlyOneRow(rows, scanSignUp)
	return s, found(err, "find sign-up %s", id)
}

// SignUpByLink finds a place by the hash of its secret.
func (db *DB) SignUpByLink(ctx context.Context, hash []byte) (hike.SignUp, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE link = $1`, hash)
	s, err := pgx.CollectExactlyOneRow(rows, scanSignUp)
	return s, found(err, "find place by link")
}

// ChangeSignUp applies change with the hike locked, then serves the waiting list. Whoever
// asks again goes to its end.
func (db *DB) ChangeSignUp(ctx context.Context, id string, now time.Time, change func(*hike.SignUp) error) (moved []hike.SignUp, err error) {
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
		was := s.State
		if err := change(&s); err != nil {
			return err
		}
		if was == hike.Withdrawn && s.State != was {
			if err := checkAdult(ctx, tx, s, h); err != nil {
				return err
			}
		}
		if err := updateSignUp(ctx, tx, s); err != nil {
			return err
		}
		if was == hike.Withdrawn && s.State != was {
			if _, err := tx.Exec(ctx, `UPDATE signups SET asked_order = DEFAULT WHERE id = $1`, s.ID); err != nil {
				return err
			}
		}
		moved, err = serve(ctx, tx, h, now, s.ID)
		return err
	})
	return moved, found(err, "change sign-up %s", id)
}

// updateSignUp stores what may change after the asking.
func updateSignUp(ctx context.Context, tx pgx.Tx, s hike.SignUp) error {
	_, err := tx.Exec(ctx, `
		UPDATE signups SET
			state = $2,
			because = $3,
			held_until = $4,
			screening = $5,
			emergency_name = $6,
			emergency_phone = $7,
			contact_email = $8,
			contact_asked = $9,
			contact_confirmed = $10,
			no_show = $11,
			car_plate = $12,
			car_make = $13,
			car_colour = $14,
			car_seats = $15
		WHERE id = $1`, s.ID, s.State, s.Because, orNull(s.HeldUntil), s.Screening, s.EmergencyName, s.EmergencyPhone, s.ContactEmail,
		orNull(s.ContactAsked), orNull(s.ContactConfirmed), s.NoShow, s.Car.Plate, s.Car.Make, s.Car.Colour, s.Car.Seats)
	return err
}

// ServePlaces serves the waiting list of a hike with the hike locked.
func (db *DB) ServePlaces(ctx context.Context, id hike.HikeID, now time.Time) (moved []hike.SignUp, err error) {
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHike(ctx, tx, id, "FOR UPDATE OF h")
		if err != nil {
			return err
		}
		moved, err = serve(ctx, tx, h, now, "")
		return err
	})
	return moved, found(err, "serve places of hike %d", id)
}

// hikeOfSignUp locks the hike first: whoever changes a place holds its hike.
func hikeOfSignUp(ctx context.Context, tx pgx.Tx, id string) (hike.Hike, error) {
	var of hike.HikeID
	if err := tx.QueryRow(ctx, `SELECT hike_id FROM signups WHERE id = $1`, id).Scan(&of); err != nil {
		return hike.Hike{}, err
	}
	return loadHike(ctx, tx, of, "FOR UPDATE OF h")
}

// serve moves places as the hike's rule says.
func serve(ctx context.Context, tx pgx.Tx, h hike.Hike, now time.Time, acting string) ([]hike.SignUp, error) {
	taken, waiting, err := countPlaces(ctx, tx, h.ID, now)
	if err != nil {
		return nil, err
	}
	if waiting == 0 || taken >= h.Places {
		if lapsed, err := hasLapsed(ctx, tx, h.ID, now); err != nil || !lapsed {
			return nil, err
		}
	}
	rows, _ := tx.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE hike_id = $1 AND state NOT IN ('withdrawn', 'turned away') ORDER BY asked_order`, h.ID)
	list, err := pgx.CollectRows(rows, scanSignUp)
	if err != nil {
		return nil, err
	}
	moved := h.Serve(now, list, acting)
	for _, s := range moved {
		if err := updateSignUp(ctx, tx, s); err != nil {
			return nil, err
		}
	}
	return moved, nil
}

func hasLapsed(ctx context.Context, tx pgx.Tx, id hike.HikeID, now time.Time) (lapsed bool, err error) {
	err = tx.QueryRow(ctx, `SELECT EXISTS (SELECT 1 FROM signups WHERE hike_id = $1 AND state = 'offered' AND held_until <= $2)`, id, now).Scan(&lapsed)
	return lapsed, err
}

// KeepRisks keeps the words of a version of the risks, so that what a person accepted can
// be shown again.
func (db *DB) KeepRisks(ctx context.Context, version, text string, now time.Time) error {
	_, err := db.pool.Exec(ctx, `INSERT INTO risk_texts (version, text, since) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING`, version, text, now)
	return found(err, "keep risks %s", version)
}

// FormKey returns the key that forms of the public are sealed with.
func (db *DB) FormKey(ctx context.Context) (key []byte, err error) {
	err = db.pool.QueryRow(ctx, `SELECT key FROM form_key`).Scan(&key)
	return key, found(err, "load form key")
}
