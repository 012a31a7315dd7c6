package postgres

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// UseCardKey sets the keys that seal medical cards. It is called once, before anything else.
// Without it no card can be stored or read.
func (db *DB) UseCardKey(k card.Keyring) { db.cards = k }

// HoldsCardKey reports whether there is a key.
func (db *DB) HoldsCardKey() bool { return db.cards.Holds() }

// ClaimCardKey stores the key's ID as that of this database if none is stored yet, or if over
// is set. It returns the ID that is stored then.
func (db *DB) ClaimCardKey(ctx context.Context, id []byte, over bool) ([]byte, error) {
	noted, err := value[[]byte](ctx, db, `
		INSERT INTO card_key (key_id) VALUES (@id)
		ON CONFLICT (one) DO UPDATE SET key_id = CASE WHEN @over THEN @id ELSE card_key.key_id END
		RETURNING key_id`, args{"id": id, "over": over})
	return noted, wrapErr(err, "claim the key of the medical cards")
}

// CardKeyNoted reports whether this database has had a key.
func (db *DB) CardKeyNoted(ctx context.Context) (bool, error) {
	noted, err := value[bool](ctx, db, `SELECT EXISTS (SELECT FROM card_key)`, nil)
	return noted, wrapErr(err, "look for the key of the medical cards")
}

// TakeCardKey starts to use a key: it claims the key for the database and seals what an older
// version stored in plain text. If the database has another key it returns ErrOtherKey, and
// nothing is sealed or opened with this one.
func (db *DB) TakeCardKey(ctx context.Context, k card.Key, over bool, now time.Time) error {
	ring, err := card.NewKeyring(k)
	if err != nil {
		return err
	}
	noted, err := db.ClaimCardKey(ctx, ring.ID(), over)
	switch {
	case err != nil:
		return err
	case !bytes.Equal(noted, ring.ID()):
		return fmt.Errorf("the key of the medical cards is not the one of this database: %w", card.ErrOtherKey)
	}
	db.UseCardKey(ring)
	_, err = db.SealPlainNeeds(ctx, now)
	return err
}

const cardColumns = `
	key_id,
	wrapped AS key,
	action,
	body`

// sealedRow is a sealed card and its owner.
type sealedRow struct {
	Person string
	card.Sealed
}

// ActionLines reads the action lines of a hike, by person.
func (db *DB) ActionLines(ctx context.Context, id ref.Hike) (map[string]card.Line, error) {
	rows, err := many[sealedRow](ctx, db, `SELECT signup_id AS person,`+cardColumns+`
		FROM medical_cards WHERE hike_id = @hike`, args{"hike": id})
	lines := map[string]card.Line{}
	for _, r := range rows {
		text, err := db.cards.Action(card.Of{Hike: id, Person: r.Person}, r.Sealed)
		lines[r.Person] = card.Line{Text: text, Unread: err}
	}
	return lines, wrapErr(err, "read the action lines of hike %d", id)
}

// OwnCard reads a card for its owner.
func (db *DB) OwnCard(ctx context.Context, of card.Of) (card.Card, error) {
	s, err := db.sealedCard(ctx, of)
	if err != nil {
		return card.Card{}, err
	}
	c, err := db.cards.Open(of, s)
	return c, wrapErr(err, "open one's own card %s", of.Person)
}

func (db *DB) sealedCard(ctx context.Context, of card.Of) (card.Sealed, error) {
	s, err := one[card.Sealed](ctx, db, `SELECT`+cardColumns+`
		FROM medical_cards WHERE signup_id = @person AND hike_id = @hike`, ofArgs(of))
	return s, wrapErr(err, "load the card of %s", of.Person)
}

func ofArgs(of card.Of) args { return args{"person": of.Person, "hike": of.Hike} }

// SaveCard replaces a card. A blank card deletes it.
func (db *DB) SaveCard(ctx context.Context, of card.Of, c card.Card, now time.Time) error {
	if c.Blank() {
		err := db.exec(ctx, `DELETE FROM medical_cards WHERE signup_id = @person AND hike_id = @hike`, ofArgs(of))
		return wrapErr(err, "take away the card of %s", of.Person)
	}
	return wrapErr(db.saveCard(ctx, of, c, now), "save the card of %s", of.Person)
}

func (db *DB) saveCard(ctx context.Context, of card.Of, c card.Card, now time.Time) error {
	s, err := db.cards.Seal(of, c)
	if err != nil {
		return err
	}
	return db.upsert(ctx, "medical_cards", "signup_id", args{
		"signup_id": of.Person, "hike_id": of.Hike, "key_id": s.KeyID, "wrapped": s.Key, "action": s.Action,
		"body": s.Body, "written": now,
	})
}

// sealNeeds stores what a person wrote at sign-up as the action line of their card.
func (db *DB) sealNeeds(ctx context.Context, s *signup.SignUp) error {
	needs := strings.TrimSpace(s.Needs)
	if needs == "" {
		return nil
	}
	s.Carded = true
	return db.saveCard(ctx, card.Of{Hike: s.Hike, Person: s.ID}, card.Card{Action: needs}, s.Asked)
}

// plainRow is what an older version stored in plain text.
type plainRow struct {
	ID    string
	Hike  ref.Hike
	Needs string
}

// SealPlainNeeds seals what an older version stored in plain text, and returns how many rows
// that were. It vacuums the table, so that the old rows do not stay in the database's files.
func (db *DB) SealPlainNeeds(ctx context.Context, now time.Time) (n int, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		rows, err := many[plainRow](ctx, db, `
			SELECT id, hike_id AS hike, unsealed_needs AS needs
			FROM signups WHERE unsealed_needs <> '' FOR UPDATE`, nil)
		if err != nil {
			return err
		}
		for _, r := range rows {
			s := signup.SignUp{ID: r.ID, Hike: r.Hike, Needs: r.Needs, Asked: now}
			if err := db.sealNeeds(ctx, &s); err != nil {
				return err
			}
		}
		n = len(rows)
		return db.exec(ctx, `UPDATE signups SET unsealed_needs = '' WHERE unsealed_needs <> ''`, nil)
	})
	if err == nil && n > 0 {
		err = db.exec(ctx, `VACUUM signups`, nil)
	}
	return n, wrapErr(err, "seal medical words kept in plain text")
}

// OpenCard logs the opening, then reads the card.
func (db *DB) OpenCard(ctx context.Context, o card.Opening) (card.Card, error) {
	s, err := db.sealedCard(ctx, o.Of)
	if err != nil {
		return card.Card{}, err
	}
	reason, err := db.cards.SealReason(o)
	if err != nil {
		return card.Card{}, err
	}
	row := args{
		"id": o.ID, "hike_id": o.Of.Hike, "signup_id": o.Of.Person, "by_whom": o.By, "ground": o.Ground,
		"reason": reason, "at": o.At,
	}
	if err := db.insert(ctx, "card_openings", row); err != nil {
		return card.Card{}, wrapErr(err, "keep the opening of the card of %s", o.Of.Person)
	}
	c, err := db.cards.Open(o.Of, s)
	return c, wrapErr(err, "open the card of %s", o.Of.Person)
}

const openingColumns = `
	o.id,
	json_build_object('Hike', o.hike_id, 'Person', o.signup_id) AS of,
	o.by_whom AS by,
	o.ground,
	o.reason AS sealed,
	o.at,
	coalesce((SELECT name FROM signups WHERE id = o.signup_id), '') AS person,
	coalesce((SELECT title FROM hikes WHERE id = o.hike_id), '') AS title`

// openingRow is an opening with its sealed reason.
type openingRow struct {
	card.Opening
	Sealed []byte
}

// OpeningsOf lists the openings of a person's card, the newest first.
func (db *DB) OpeningsOf(ctx context.Context, of card.Of) ([]card.Opening, error) {
	list, err := db.openings(ctx, `
		WHERE o.signup_id = @person AND o.hike_id = @hike ORDER BY o.at DESC`, ofArgs(of))
	return list, wrapErr(err, "list openings of the card of %s", of.Person)
}

// Openings lists the newest n openings of all cards.
func (db *DB) Openings(ctx context.Context, n int) ([]card.Opening, error) {
	list, err := db.openings(ctx, `ORDER BY o.at DESC LIMIT @n`, args{"n": n})
	return list, wrapErr(err, "list openings of cards")
}

func (db *DB) openings(ctx context.Context, which string, a args) ([]card.Opening, error) {
	rows, err := many[openingRow](ctx, db, `SELECT`+openingColumns+` FROM card_openings o `+which, a)
	list := make([]card.Opening, len(rows))
	for i, r := range rows {
		list[i] = r.Opening
		var unread error
		list[i].Reason, unread = db.cards.OpenReason(r.Opening, r.Sealed)
		list[i].Lost = unread != nil
	}
	return list, err
}
