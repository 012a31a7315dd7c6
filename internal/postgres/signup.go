package postgres

import (
	"context"
	"errors"
	"reflect"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

const signUpColumns = `
	id,
	hike_id AS hike,
	state,
	asked_order AS order,
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
	water_l AS water,
	self_report,
	minor,
	guardian,
	guardian_phone,
	consented,
	adult,
	json_build_object(
		'Plate', car_plate,
		'Make', car_make,
		'Colour', car_colour,
		'Seats', car_seats,
		'Lot', car_lot
	) AS car,
	EXISTS (SELECT FROM medical_cards c WHERE c.signup_id = signups.id) AS carded,
	because,
	acknowledged,
	risk_version,
	risk_accepted,
	screening,
	held_until,
	no_show,
	asked,
	imported_by,
	link`

// signUpArgs are the columns of a sign-up that may change.
func signUpArgs(s signup.SignUp) args {
	return args{
		"id": s.ID, "state": s.State, "name": s.Name, "email": s.Email, "mobile": s.Mobile,
		"emergency_name": s.EmergencyName, "emergency_phone": s.EmergencyPhone, "contact_email": s.ContactEmail,
		"contact_asked": s.ContactAsked, "contact_confirmed": s.ContactConfirmed, "longest_walk": s.LongestWalk,
		"hot_days": s.HotDays, "water_l": s.Water, "self_report": s.SelfReport, "minor": s.Minor, "guardian": s.Guardian,
		"guardian_phone": s.GuardianPhone, "consented": s.Consented, "adult": s.Adult, "car_plate": s.Car.Plate,
		"car_make": s.Car.Make, "car_colour": s.Car.Colour, "car_seats": s.Car.Seats, "car_lot": s.Car.Lot,
		"because": s.Because, "acknowledged": s.Acknowledged, "risk_version": s.RiskVersion,
		"risk_accepted": s.RiskAccepted, "screening": s.Screening, "held_until": s.HeldUntil,
		"no_show": s.NoShow,
	}
}

// fixedPart is what no change of a sign-up may touch. The store gives the order; the link is
// renewed by itself; what people say about their health goes to their card.
func fixedPart(s signup.SignUp) signup.SignUp {
	return signup.SignUp{
		ID:         s.ID,
		Hike:       s.Hike,
		Order:      s.Order,
		Needs:      s.Needs,
		Carded:     s.Carded,
		Asked:      s.Asked,
		ImportedBy: s.ImportedBy,
		Link:       s.Link,
	}
}

var errFixed = errors.New("a change of a sign-up may not touch its id, hike, order, link, card, nor who asked and when")

// SignUp stores a request for a place as the hike's rule admits it. The hike's row is
// locked: however many ask at once, they are admitted one after the other.
func (db *DB) SignUp(ctx context.Context, s signup.SignUp, now time.Time, mails ...hike.Mails) (signup.SignUp, error) {
	err := db.inTx(ctx, func(ctx context.Context) error {
		h, err := db.loadHike(ctx, s.Hike, forUpdate)
		if err != nil {
			return err
		}
		if err := db.checkAdult(ctx, s, h); err != nil {
			return err
		}
		groups, err := db.placeGroups(ctx, s.Hike)
		if err != nil {
			return err
		}
		if err := h.Admit(&s, now, groups.taken(now), groups.count(signup.Waiting)); err != nil {
			return err
		}
		if err := db.insertSignUp(ctx, &s); err != nil {
			return err
		}
		return db.queueFor(ctx, now, mails, []signup.SignUp{s})
	})
	return s, wrapErr(err, "sign up for hike %d", s.Hike)
}

// checkAdult asks about the adult of a minor while the hike is locked: of several children
// at once, no more are taken than one adult may answer for.
func (db *DB) checkAdult(ctx context.Context, s signup.SignUp, h hike.Hike) error {
	if !s.Minor {
		return nil
	}
	others, err := db.SignUps(ctx, s.Hike)
	if err != nil {
		return err
	}
	return hike.CheckAdult(s, h, others)
}

// insertSignUp also seals what the person wrote about their health.
func (db *DB) insertSignUp(ctx context.Context, s *signup.SignUp) (err error) {
	row := signUpArgs(*s)
	row["hike_id"], row["asked"], row["imported_by"], row["link"] = s.Hike, s.Asked, s.ImportedBy, s.Link
	s.Order, err = value[int64](ctx, db, insertSQL("signups", row)+` RETURNING asked_order`, row)
	if err != nil {
		return err
	}
	return db.sealNeeds(ctx, s)
}

// queueFor queues the mails about changed sign-ups in the transaction that changed them.
func (db *DB) queueFor(ctx context.Context, now time.Time, mails []hike.Mails, changed []signup.SignUp) error {
	if len(changed) == 0 {
		return nil
	}
	for _, compose := range mails {
		list, err := compose(ctx, changed)
		if err != nil {
			return err
		}
		if err := db.queue(ctx, now, list); err != nil {
			return err
		}
	}
	return nil
}

// ImportSignUps stores a list of requests for places as the hike's rule takes them, whole or
// not at all. The hike's row is locked, so that no place is given twice.
func (db *DB) ImportSignUps(
	ctx context.Context, id ref.Hike, list []signup.SignUp, now time.Time, mails ...hike.Mails,
) (brought []hike.ImportRow, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		h, others, err := db.lockPlaces(ctx, id)
		if err != nil {
			return err
		}
		brought = h.Import(list, others, now)
		if !hike.ImportedWhole(brought) {
			return nil
		}
		var added []signup.SignUp
		for i := range brought {
			if !brought[i].Added() {
				continue
			}
			if err := db.insertSignUp(ctx, &brought[i].SignUp); err != nil {
				return err
			}
			added = append(added, brought[i].SignUp)
		}
		return db.queueFor(ctx, now, mails, added)
	})
	return brought, wrapErr(err, "bring sign-ups to hike %d", id)
}

// SignUps lists a hike's sign-ups in the order of asking.
func (db *DB) SignUps(ctx context.Context, id ref.Hike) ([]signup.SignUp, error) {
	list, err := many[signup.SignUp](ctx, db, `SELECT`+signUpColumns+`
		FROM signups WHERE hike_id = @hike ORDER BY asked_order`, args{"hike": id})
	return list, wrapErr(err, "list sign-ups of hike %d", id)
}

// SignUpByID finds a place by its number.
func (db *DB) SignUpByID(ctx context.Context, id string) (signup.SignUp, error) {
	number, err := uuid.Parse(id)
	if err != nil {
		return signup.SignUp{}, wrapErr(pgx.ErrNoRows, "find sign-up %s", id)
	}
	s, err := one[signup.SignUp](ctx, db, `SELECT`+signUpColumns+`
		FROM signups WHERE id = @id`, args{"id": number})
	return s, wrapErr(err, "find sign-up %s", id)
}

// SignUpByLink finds a place by the hash of its secret.
func (db *DB) SignUpByLink(ctx context.Context, hash []byte) (signup.SignUp, error) {
	s, err := one[signup.SignUp](ctx, db, `SELECT`+signUpColumns+`
		FROM signups WHERE link = @hash`, args{"hash": hash})
	return s, wrapErr(err, "find place by link")
}

// ChangeSignUp applies change with the hike locked and stores all that may change, then
// serves the waiting list. Whoever asks again goes to the end of the list. A change of
// anything else is an error.
func (db *DB) ChangeSignUp(
	ctx context.Context, id string, now time.Time, change func(*signup.SignUp) error, mails ...hike.Mails,
) (moved []signup.SignUp, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		h, was, err := db.lockPlace(ctx, id)
		if err != nil {
			return err
		}
		s := was
		if err := change(&s); err != nil {
			return err
		}
		if !reflect.DeepEqual(fixedPart(s), fixedPart(was)) {
			return errFixed
		}
		if was.State == signup.Withdrawn && s.State != signup.Withdrawn {
			if err := db.askAgain(ctx, h, &s); err != nil {
				return err
			}
		}
		moved, err = db.storeAndServe(ctx, h, s, now, mails)
		return err
	})
	return moved, wrapErr(err, "change sign-up %s", id)
}

// askAgain puts a person at the end of the list.
func (db *DB) askAgain(ctx context.Context, h hike.Hike, s *signup.SignUp) (err error) {
	if err := db.checkAdult(ctx, *s, h); err != nil {
		return err
	}
	s.Order, err = value[int64](ctx, db, `
		UPDATE signups SET asked_order = DEFAULT WHERE id = @id RETURNING asked_order`, args{"id": s.ID})
	return err
}

// storeAndServe stores a sign-up that somebody changed, serves the waiting list, and queues
// the mails to the person and to everybody whose place moved.
func (db *DB) storeAndServe(
	ctx context.Context, h hike.Hike, s signup.SignUp, now time.Time, mails []hike.Mails,
) ([]signup.SignUp, error) {
	if err := db.updateSignUp(ctx, s); err != nil {
		return nil, err
	}
	moved, err := db.serve(ctx, h, now, s.ID)
	if err != nil {
		return nil, err
	}
	changed := []signup.SignUp{s}
	for _, m := range moved {
		if m.ID == s.ID {
			changed[0] = m
			continue
		}
		changed = append(changed, m)
	}
	return moved, db.queueFor(ctx, now, mails, changed)
}

func (db *DB) updateSignUp(ctx context.Context, s signup.SignUp) error {
	return db.update(ctx, "signups", signUpArgs(s))
}

// KeepRisks keeps the words of a version of the risks, so that what a person accepted can
// be shown again.
func (db *DB) KeepRisks(ctx context.Context, version, text string, now time.Time) error {
	row := args{"version": version, "text": text, "since": now}
	err := db.exec(ctx, insertSQL("risk_texts", row)+` ON CONFLICT DO NOTHING`, row)
	return wrapErr(err, "keep risks %s", version)
}

// FormKey returns the key that forms of the public are sealed with.
func (db *DB) FormKey(ctx context.Context) ([]byte, error) {
	key, err := value[[]byte](ctx, db, `SELECT key FROM form_key`, nil)
	return key, wrapErr(err, "load form key")
}
