package postgres

import (
	"context"
	"errors"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

var errFixed = errors.New("a change of a sign-up may not touch its id, hike, order, link, card, nor who asked and when")

// SignUp admits a request for a place and stores it. The hike is locked, so requests are
// admitted one after the other.
func (db *DB) SignUp(ctx context.Context, s signup.SignUp, now time.Time, mails ...hike.Mails) (signup.SignUp, error) {
	err := db.inTx(ctx, func(ctx context.Context) error {
		h, err := db.loadHike(ctx, s.Hike, forUpdate)
		if err != nil {
			return err
		}
		if err := db.assignAdult(ctx, &s, h); err != nil {
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

// assignAdult sets the adult of a minor while the hike is locked: of several children who sign
// up at once, no more are admitted than one adult may answer for.
func (db *DB) assignAdult(ctx context.Context, s *signup.SignUp, h hike.Hike) error {
	if !s.Minor {
		return nil
	}
	others, err := db.SignUps(ctx, s.Hike)
	if err != nil {
		return err
	}
	return hike.AssignAdult(s, h, others)
}

// insertSignUp also seals what the person wrote about their health.
func (db *DB) insertSignUp(ctx context.Context, s *signup.SignUp) (err error) {
	row := newSignUpArgs(*s)
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

// ImportSignUps admits a list of requests and stores them, all or none. The hike is locked, so
// no place is given twice.
func (db *DB) ImportSignUps(
	ctx context.Context, id ref.Hike, list []signup.SignUp, now time.Time, mails ...hike.Mails,
) (rows []hike.ImportRow, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		h, others, err := db.lockPlaces(ctx, id)
		if err != nil {
			return err
		}
		rows = h.Import(list, others, now)
		if !hike.ImportedWhole(rows) {
			return nil
		}
		var added []signup.SignUp
		for i := range rows {
			if !rows[i].Added() {
				continue
			}
			if err := db.insertSignUp(ctx, &rows[i].SignUp); err != nil {
				return err
			}
			added = append(added, rows[i].SignUp)
		}
		return db.queueFor(ctx, now, mails, added)
	})
	return rows, wrapErr(err, "import sign-ups to hike %d", id)
}

// SignUps lists a hike's sign-ups in the order of asking.
func (db *DB) SignUps(ctx context.Context, id ref.Hike) ([]signup.SignUp, error) {
	list, err := db.signUpsWhere(ctx, `hike_id = @hike ORDER BY asked_order`, args{"hike": id})
	return list, wrapErr(err, "list sign-ups of hike %d", id)
}

// SignUpByID finds a sign-up by its ID.
func (db *DB) SignUpByID(ctx context.Context, id string) (signup.SignUp, error) {
	number, err := uuid.Parse(id)
	if err != nil {
		return signup.SignUp{}, wrapErr(pgx.ErrNoRows, "find sign-up %s", id)
	}
	s, err := db.signUpWhere(ctx, `id = @id`, args{"id": number})
	return s, wrapErr(err, "find sign-up %s", id)
}

// SignUpByLink finds a sign-up by the hash of its secret.
func (db *DB) SignUpByLink(ctx context.Context, hash []byte) (signup.SignUp, error) {
	s, err := db.signUpWhere(ctx, `link = @hash`, args{"hash": hash})
	return s, wrapErr(err, "find place by link")
}

// ChangeSignUp locks the hike, applies change, stores everything that may change, and serves
// the waiting list. A change of anything else is an error. Somebody who asks again goes to the
// end of the list.
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
		if !sameFixed(s, was) {
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
	if err := db.assignAdult(ctx, s, h); err != nil {
		return err
	}
	s.Order, err = value[int64](ctx, db, `
		UPDATE signups SET asked_order = DEFAULT WHERE id = @id RETURNING asked_order`, args{"id": s.ID})
	return err
}

// storeAndServe stores a sign-up that somebody changed, serves the waiting list, and queues the
// mails to the person and to everybody whose sign-up moved.
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

// KeepRisks stores the text of a version of the risks, so that it can be shown later.
func (db *DB) KeepRisks(ctx context.Context, version, text string, now time.Time) error {
	row := args{"version": version, "text": text, "since": now}
	err := db.exec(ctx, insertSQL("risk_texts", row)+` ON CONFLICT DO NOTHING`, row)
	return wrapErr(err, "keep risks %s", version)
}

// FormKey returns the key for the tokens of public forms.
func (db *DB) FormKey(ctx context.Context) ([]byte, error) {
	key, err := value[[]byte](ctx, db, `SELECT key FROM form_key`, nil)
	return key, wrapErr(err, "load form key")
}
