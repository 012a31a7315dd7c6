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

// Outbox gives the outbox of this database; what is claimed from it is ordinary mail.
func (db *DB) Outbox() message.Outbox { return outbox{db, message.ByMail} }

// OutboxOf gives the outbox as one channel sees it: only what leaves that way is claimed.
func (db *DB) OutboxOf(c message.Channel) message.Outbox { return outbox{db, c} }

// outbox implements message.Outbox.
type outbox struct {
	*DB
	channel message.Channel
}

func (o outbox) Queue(ctx context.Context, now time.Time, mails ...message.Mail) error {
	return o.queue(ctx, now, mails)
}

// queue stores mails, in the transaction of the context where it carries one.
func (db *DB) queue(ctx context.Context, now time.Time, mails []message.Mail) error {
	batch := &pgx.Batch{}
	for _, m := range mails {
		queueMail(batch, now, m)
	}
	return wrapErr(db.send(ctx, batch), "queue %d mails", len(mails))
}

// queueMail leaves out mail that its reader wants no more, and mail that is queued already.
func queueMail(batch *pgx.Batch, now time.Time, m message.Mail) {
	attached := m.Attach
	if attached == nil {
		attached = []message.Attachment{} // the column holds no null
	}
	batch.Queue(`
		INSERT INTO outbox (
			key, channel, recipient, subject, body, attached, state, created, next_try, useless_at, topic, stop
		)
		SELECT @key, @channel, @to, @subject, @body, @attached, 'queued', @now::timestamptz,
			greatest(@now::timestamptz, @next_try), @useless_at, @topic, @stop
		WHERE NOT EXISTS (
			SELECT FROM mail_choices WHERE address = lower(@to) AND topic = @topic AND stopped IS NOT NULL
		)
		ON CONFLICT (key) DO NOTHING`, args{
		"key": m.Key, "channel": m.Channel.OrMail(), "to": m.To, "subject": m.Subject, "body": m.Text,
		"attached": attached, "now": now, "next_try": m.NextTry, "useless_at": m.UselessAt, "topic": m.Topic,
		"stop": m.StopAt,
	})
}

const mailColumns = `
	id,
	key,
	channel,
	recipient AS to,
	subject,
	body AS text,
	state,
	created,
	next_try,
	useless_at,
	sent AS sent_at,
	tries,
	last_error,
	topic,
	stop AS stop_at`

func (o outbox) Claim(ctx context.Context, now time.Time, hold time.Duration, n int) ([]message.Mail, error) {
	mails, err := many[message.Mail](ctx, o.DB, `
		UPDATE outbox SET tries = tries + 1, next_try = @until
		WHERE id IN (
			SELECT id FROM outbox
			WHERE state = 'queued' AND channel = @channel AND next_try <= @now
			ORDER BY next_try, id
			LIMIT @n
			FOR UPDATE SKIP LOCKED
		)
		RETURNING`+mailColumns+`,
			attached AS attach`, args{"now": now, "until": now.Add(hold), "n": n, "channel": o.channel})
	return mails, wrapErr(err, "claim mail")
}

func (o outbox) MarkSent(ctx context.Context, m message.Mail, at time.Time) error {
	err := o.exec(ctx, `UPDATE outbox SET state = 'sent', sent = @at, last_error = '' WHERE id = @id`,
		args{"id": m.ID, "at": at})
	return wrapErr(err, "mark mail %d sent", m.ID)
}

func (o outbox) MarkFailed(ctx context.Context, m message.Mail, reason string, next time.Time) error {
	state := message.Queued
	if next.IsZero() {
		state, next = message.Failed, m.NextTry
	}
	err := o.exec(ctx, `
		UPDATE outbox SET state = @state, last_error = @reason, next_try = @next
		WHERE id = @id AND tries = @tries AND state = 'queued'`,
		args{"id": m.ID, "tries": m.Tries, "state": state, "reason": reason, "next": next})
	return wrapErr(err, "mark mail %d failed", m.ID)
}

func (o outbox) Requeue(ctx context.Context, id int64, now time.Time) error {
	err := o.execOne(ctx, `
		UPDATE outbox SET state = 'queued', next_try = @now, tries = 0, useless_at = NULL
		WHERE id = @id AND state = 'failed'`, args{"id": id, "now": now})
	return wrapNone(err, message.ErrNotFound, "requeue mail %d", id)
}

func (o outbox) Recent(ctx context.Context, n int) ([]message.Mail, error) {
	mails, err := many[message.Mail](ctx, o.DB, `SELECT`+mailColumns+`,
			NULL::json AS attach
		FROM outbox ORDER BY created DESC, id DESC LIMIT @n`, args{"n": n})
	return mails, wrapErr(err, "list mail")
}

// choiceSQL reads one choice; what follows WHERE is up to the caller.
const choiceSQL = `
	SELECT
		address,
		topic,
		token,
		stopped
	FROM mail_choices
	WHERE `

// Choice returns what an address has chosen, and makes the choice where there is none.
func (db *DB) Choice(ctx context.Context, address string, t message.Topic) (message.Choice, error) {
	which := args{"address": strings.ToLower(address), "topic": t}
	load := func() (message.Choice, error) {
		return one[message.Choice](ctx, db, choiceSQL+`address = @address AND topic = @topic`, which)
	}
	c, err := load()
	if !errors.Is(err, pgx.ErrNoRows) {
		return c, wrapErr(err, "load choice of mail")
	}
	secret, _, err := account.NewLink(rand.Reader)
	if err != nil {
		return c, err
	}
	row := args{"address": which["address"], "topic": t, "token": secret.Reveal()}
	err = db.exec(ctx, insertSQL("mail_choices", row)+` ON CONFLICT DO NOTHING`, row)
	if err == nil {
		c, err = load() // another program may have been first
	}
	return c, wrapErr(err, "make choice of mail")
}

// ChoiceByToken finds the choice that a mail's link is about.
func (db *DB) ChoiceByToken(ctx context.Context, token string) (message.Choice, error) {
	c, err := one[message.Choice](ctx, db, choiceSQL+`token = @token`, args{"token": token})
	return c, wrapNone(err, message.ErrNotFound, "load choice of mail")
}

// Stop ends the mails of a choice, and gives up those that wait.
func (db *DB) Stop(ctx context.Context, token string, now time.Time) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		err := db.execOne(ctx, `UPDATE mail_choices SET stopped = coalesce(stopped, @now) WHERE token = @token`,
			args{"token": token, "now": now})
		if err != nil {
			return err
		}
		return db.exec(ctx, `
			UPDATE outbox SET state = 'failed', last_error = 'the reader asked for no more of these'
			FROM mail_choices AS c
			WHERE c.token = @token
				AND outbox.state = 'queued'
				AND outbox.topic = c.topic
				AND lower(outbox.recipient) = c.address`, args{"token": token})
	})
	return wrapNone(err, message.ErrNotFound, "stop mails")
}

// Resume has the mails of a choice sent again.
func (db *DB) Resume(ctx context.Context, token string) error {
	err := db.execOne(ctx, `UPDATE mail_choices SET stopped = NULL WHERE token = @token`, args{"token": token})
	return wrapNone(err, message.ErrNotFound, "resume mails")
}
