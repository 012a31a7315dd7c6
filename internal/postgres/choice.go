package postgres

import (
	"context"
	"crypto/rand"
	"errors"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
	"saltbush/internal/message"
)

// Choice returns what an address has chosen, and makes the choice where there is none.
func (db *DB) Choice(ctx context.Context, address string, t message.Topic) (message.Choice, error) {
	address = strings.ToLower(address)
	c, err := choiceBy(ctx, db.pool, `address = $1 AND topic = $2`, address, t)
	if !errors.Is(err, pgx.ErrNoRows) {
		return c, found(err, "load choice of mail")
	}
	secret, _, err := account.NewLink(rand.Reader)
	if err != nil {
		return c, err
	}
	_, err = db.pool.Exec(ctx, `INSERT INTO mail_choices (address, topic, token) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING`, address, t, secret.Reveal())
	if err == nil {
		c, err = choiceBy(ctx, db.pool, `address = $1 AND topic = $2`, address, t) // another program may have been first
	}
	return c, found(err, "make choice of mail")
}

// ChoiceByToken finds the choice that a mail's link is about.
func (db *DB) ChoiceByToken(ctx context.Context, token string) (message.Choice, error) {
	c, err := choiceBy(ctx, db.pool, `token = $1`, token)
	if errors.Is(err, pgx.ErrNoRows) {
		err = message.ErrNotFound
	}
	return c, found(err, "load choice of mail")
}

func choiceBy(ctx context.Context, q querier, where string, args ...any) (c message.Choice, err error) {
	err = q.QueryRow(ctx, `
		SELECT
			address,
			topic,
			token,
			stopped
		FROM mail_choices
		WHERE `+where, args...).Scan(&c.Address, &c.Topic, &c.Token, scanZero(&c.Stopped))
	return c, err
}

// Stop ends the mails of a choice, and gives up those that wait.
func (db *DB) Stop(ctx context.Context, token string, now time.Time) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		tag, err := tx.Exec(ctx, `UPDATE mail_choices SET stopped = coalesce(stopped, $2) WHERE token = $1`, token, now)
		if err == nil && tag.RowsAffected() == 0 {
			err = message.ErrNotFound
		}
		if err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `
			UPDATE outbox SET state = 'failed', last_error = 'the reader asked for no more of these'
			FROM mail_choices AS c
			WHERE c.token = $1 AND outbox.state = 'queued' AND outbox.topic = c.topic AND lower(outbox.recipient) = c.address`, token)
		return err
	})
	return found(err, "stop mails")
}

// Resume has the mails of a choice sent again.
func (db *DB) Resume(ctx context.Context, token string) error {
	tag, err := db.pool.Exec(ctx, `UPDATE mail_choices SET stopped = NULL WHERE token = $1`, token)
	if err == nil && tag.RowsAffected() == 0 {
		err = message.ErrNotFound
	}
	return found(err, "resume mails")
}
