package postgres

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/card"
	"saltbush/internal/hike"
)

// UseCardKey sets the keys that seal medical cards. It is called once, before anything
// else; without it no card can be kept or read.
func (db *DB) UseCardKey(k card.Keyring) { db.cards = k }

// HoldsCardKey reports whether there is a key to seal and open with.
func (db *DB) HoldsCardKey() bool { return db.cards.Holds() }

// ClaimCardKey notes the key as that of this database, if none is noted yet or over says
// that it replaces the one that is, and returns the id of the key that is noted then.
func (db *DB) ClaimCardKey(ctx context.Context, id []byte, over bool) (noted []byte, err error) {
	err = db.pool.QueryRow(ctx, `
		INSERT INTO card_key (key_id) VALUES ($1)
		ON CONFLICT (one) DO UPDATE SET key_id = CASE WHEN $2 THEN $1 ELSE card_key.key_id END
		RETURNING key_id`, id, over).Scan(&noted)
	return noted, found(err, "claim the key of the medical cards")
}

// CardKeyNoted reports whether this database has had a key.
func (db *DB) CardKeyNoted(ctx context.Context) (noted bool, err error) {
	err = db.pool.QueryRow(ctx, `SELECT EXISTS (SELECT FROM card_key)`).Scan(&noted)
	return noted, found(err, "look for the key of the medical cards")
}

const cardColumns = `
	key_id,
	wrapped,
	action,
	body`

func cardTargets(s *card.Sealed) []any { return []any{&s.KeyID, &s.Key, &s.Action, &s.Body} }

// ActionLines reads the action lines of a hike by person.
func (db *DB) ActionLines(ctx context.Context, id hike.HikeID) (map[string]card.Line, error) {
	rows, _ := db.pool.Query(ctx, `SELECT signup_id,`+cardColumns+` FROM medical_cards WHERE hike_id = $1`, id)
	lines := map[string]card.Line{}
	var person string
	var s card.Sealed
	_, err := pgx.ForEachRow(rows, append([]any{&person}, cardTargets(&s)...), func() error {
		text, err := db.cards.Action(card.Of{Hike: id, Person: person}, s)
		lines[person] = card.Line{Text: text, Unread: err}
		return nil
	})
	return lines, found(err, "read the action lines of hike %d", id)
}

// OwnCard reads a card for the person themselves.
func (db *DB) OwnCard(ctx context.Context, of card.Of) (card.Card, error) {
	s, err := sealedCard(ctx, db.pool, of)
	if err == nil {
		var c card.Card
		c, err = db.cards.Open(of, s)
		return c, found(err, "open one's own card %s", of.Person)
	}
	return card.Card{}, found(err, "load the card of %s", of.Person)
}

func sealedCard(ctx context.Context, q querier, of card.Of) (s card.Sealed, err error) {
	err = q.QueryRow(ctx, `SELECT`+cardColumns+` FROM medical_cards WHERE signup_id = $1 AND hike_id = $2`, of.Person, of.Hike).Scan(cardTargets(&s)...)
	return s, err
}

// SaveCard replaces a card; a blank one takes it away.
func (db *DB) SaveCard(ctx context.Context, of card.Of, c card.Card, now time.Time) error {
	if c.Blank() {
		_, err := db.pool.Exec(ctx, `DELETE FROM medical_cards WHERE signup_id = $1 AND hike_id = $2`, of.Person, of.Hike)
		return found(err, "take away the card of %s", of.Person)
	}
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error { return db.saveCard(ctx, tx, of, c, now) })
	return found(err, "save the card of %s", of.Person)
}

func (db *DB) saveCard(ctx context.Context, tx pgx.Tx, of card.Of, c card.Card, now time.Time) error {
	s, err := db.cards.Seal(of, c)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `
		INSERT INTO medical_cards (
			signup_id, hike_id, key_id, wrapped, action, body, written
		) VALUES (
			@signup_id, @hike_id, @key_id, @wrapped, @action, @body, @written
		) ON CONFLICT (signup_id) DO UPDATE SET
			key_id = @key_id, wrapped = @wrapped, action = @action, body = @body, written = @written`, pgx.NamedArgs{
		"signup_id": of.Person, "hike_id": of.Hike, "key_id": s.KeyID, "wrapped": s.Key, "action": s.Action, "body": s.Body, "written": now,
	})
	return err
}

// sealNeeds keeps what a person wrote when signing up as the action line of their card.
func (db *DB) sealNeeds(ctx context.Context, tx pgx.Tx, s *hike.SignUp) error {
	needs := strings.TrimSpace(s.Needs)
	if needs == "" {
		return nil
	}
	s.Carded = true
	return db.saveCard(ctx, tx, card.Of{Hike: s.Hike, Person: s.ID}, card.Card{Action: needs}, s.Asked)
}

// SealPlainNeeds seals what an older version kept in plain text, and returns how much that
// was. What the old rows leave in the files of the database is vacuumed away.
func (db *DB) SealPlainNeeds(ctx context.Context, now time.Time) (n int, err error) {
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		rows, _ := tx.Query(ctx, `SELECT id, hike_id, unsealed_needs FROM signups WHERE unsealed_needs <> '' FOR UPDATE`)
		list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (s hike.SignUp, err error) {
			err = row.Scan(&s.ID, &s.Hike, &s.Needs)
			return s, err
		})
		if err != nil {
			return err
		}
		for _, s := range list {
			s.Asked = now
			if err := db.sealNeeds(ctx, tx, &s); err != nil {
				return err
			}
		}
		n = len(list)
		_, err = tx.Exec(ctx, `UPDATE signups SET unsealed_needs = '' WHERE unsealed_needs <> ''`)
		return err
	})
	if err == nil && n > 0 {
		_, err = db.pool.Exec(ctx, `VACUUM signups`)
	}
	return n, found(err, "seal medical words kept in plain text")
}

// OpenCard keeps the opening, then reads the card.
func (db *DB) OpenCard(ctx context.Context, o card.Opening) (card.Card, error) {
	s, err := sealedCard(ctx, db.pool, o.Of)
	if err != nil {
		return card.Card{}, found(err, "load the card of %s", o.Of.Person)
	}
	reason, err := db.cards.SealReason(o)
	if err != nil {
		return card.Card{}, err
	}
	_, err = db.pool.Exec(ctx, `INSERT INTO card_openings (id, hike_id, signup_id, by_whom, ground, reason, at) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		o.ID, o.Of.Hike, o.Of.Person, o.By, o.Ground, reason, o.At)
	if err != nil {
		return card.Card{}, found(err, "keep the opening of the card of %s", o.Of.Person)
	}
	c, err := db.cards.Open(o.Of, s)
	return c, found(err, "open the card of %s", o.Of.Person)
}

const openingColumns = `
	o.id,
	o.hike_id,
	o.signup_id,
	o.by_whom,
	o.ground,
	o.reason,
	o.at,
	coalesce((SELECT name FROM signups WHERE id = o.signup_id), '') AS person,
	coalesce((SELECT title FROM hikes WHERE id = o.hike_id), '') AS title`

// OpeningsOf lists the openings of a person's card, the newest first.
func (db *DB) OpeningsOf(ctx context.Context, of card.Of) ([]card.Opening, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+openingColumns+` FROM card_openings o WHERE o.signup_id = $1 AND o.hike_id = $2 ORDER BY o.at DESC`, of.Person, of.Hike)
	list, err := pgx.CollectRows(rows, db.scanOpening)
	return list, found(err, "list openings of the card of %s", of.Person)
}

// Openings lists the newest n openings of all cards.
func (db *DB) Openings(ctx context.Context, n int) ([]card.Opening, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+openingColumns+` FROM card_openings o ORDER BY o.at DESC LIMIT $1`, n)
	list, err := pgx.CollectRows(rows, db.scanOpening)
	return list, found(err, "list openings of cards")
}

func (db *DB) scanOpening(row pgx.CollectableRow) (o card.Opening, err error) {
	var sealed []byte
	if err = row.Scan(&o.ID, &o.Of.Hike, &o.Of.Person, &o.By, &o.Ground, &sealed, &o.At, &o.Person, &o.Title); err != nil {
		return o, err
	}
	var unread error
	o.Reason, unread = db.cards.OpenReason(o, sealed)
	o.Lost = unread != nil
	return o, nil
}

// TakeCardKey takes a key into use: it is noted as that of the database, and what an older
// version kept in plain text is sealed with it. ErrOtherKey says that the database has had
// another key; then nothing is sealed or opened with this one.
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
