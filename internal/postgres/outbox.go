package postgres

import (
	"context"
	"crypto/rand"
	"errors"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/message"
)

// Outbox returns the outbox for ordinary mail.
func (db *DB) Outbox() message.Outbox { return outbox{db, message.ByMail} }

// OutboxOf returns the outbox for a channel: Claim returns only messages of that channel.
func (db *DB) OutboxOf(c message.Channel) message.Outbox { return outbox{db, c} }

// outbox implements message.Outbox.
type outbox struct {
	*DB
	channel message.Channel
}

func (o outbox) Queue(ctx context.Context, now time.Time, mails ...message.Mail) error {
	return o.queue(ctx, now, mails)
}

// queue stores mails, in the transaction of the context if there is one.
func (db *DB) queue(ctx context.Context, now time.Time, mails []message.Mail) error {
	batch := &pgx.Batch{}
	for _, m := range mails {
		queueMail(batch, now, m)
	}
	return wrapErr(db.send(ctx, batch), "queue %d mails", len(mails))
}

// queueMail skips mail that its reader does not want, and mail that is queued already.
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

func (o outbox) Recent(ctx context.Context, n int) ([]message.Mail, error) {
	mails, err := many[message.Mail](ctx, o.DB, `SELECT`+mailColumns+`,
			NULL::json AS attach
		FROM outbox ORDER BY created DESC, id DESC LIMIT @n`, args{"n": n})
	return mails, wrapErr(err, "list mail")
}

// choiceSQL reads one choice by the condition that follows it.
const choiceSQL = `
	SELECT
		address,
		topic,
		token,
		stopped
	FROM mail_choices
	WHERE `

// Choice returns what an address chose about a topic, and stores the default choice if there is
// none.
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

// ChoiceByToken finds the choice that a link in a mail is about.
func (db *DB) ChoiceByToken(ctx context.Context, token string) (message.Choice, error) {
	c, err := one[message.Choice](ctx, db, choiceSQL+`token = @token`, args{"token": token})
	return c, wrapNone(err, message.ErrNotFound, "load choice of mail")
}

// Stop stops the mails of a choice, and those of them that are queued.
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

// Resume allows the mails of a choice again.
func (db *DB) Resume(ctx context.Context, token string) error {
	err := db.execOne(ctx, `UPDATE mail_choices SET stopped = NULL WHERE token = @token`, args{"token": token})
	return wrapNone(err, message.ErrNotFound, "resume mails")
}

// PushKeys returns the key pair that identifies this site to push services, and makes it the
// first time. All instances on one database share it.
func (db *DB) PushKeys(ctx context.Context, now time.Time) (message.PushKeys, error) {
	private, err := db.pushKey(ctx)
	if errors.Is(err, pgx.ErrNoRows) {
		if err = db.makePushKey(ctx, now); err == nil {
			private, err = db.pushKey(ctx)
		}
	}
	if err != nil {
		return message.PushKeys{}, wrapErr(err, "load push keys")
	}
	return message.ParsePushKeys(private)
}

func (db *DB) pushKey(ctx context.Context) ([]byte, error) {
	return value[[]byte](ctx, db, `SELECT private FROM push_keys`, nil)
}

// makePushKey stores a new pair unless another instance was faster.
func (db *DB) makePushKey(ctx context.Context, now time.Time) error {
	keys, err := message.NewPushKeys()
	if err != nil {
		return err
	}
	private, err := keys.Bytes()
	if err != nil {
		return err
	}
	return db.exec(ctx, `INSERT INTO push_keys (private, made) VALUES (@private, @now) ON CONFLICT (one) DO NOTHING`,
		args{"private": private, "now": now})
}

const subscriptionColumns = `
	id,
	endpoint,
	p256dh,
	auth,
	label,
	made,
	ended,
	ended_why AS why`

// Subscribe stores a browser to which an account's push messages go. A browser that is known
// already now belongs to this account. It returns a Refusal if the account has as many browsers
// as it may.
func (db *DB) Subscribe(ctx context.Context, id account.ID, s message.Subscription) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		// Locks the account, so that two browsers do not take the same slot.
		if err := db.exec(ctx, `SELECT FROM accounts WHERE id = @id FOR UPDATE`, args{"id": id}); err != nil {
			return err
		}
		err := db.exec(ctx, `DELETE FROM push_subscriptions WHERE endpoint = @endpoint`, args{"endpoint": s.Endpoint})
		if err != nil {
			return err
		}
		n, err := db.count(ctx, `
			INSERT INTO push_subscriptions (account_id, slot, endpoint, p256dh, auth, label, made)
			SELECT @id, n, @endpoint, @p256dh, @auth, @label, @made
			FROM generate_series(1, 5) AS n
			WHERE n NOT IN (SELECT slot FROM push_subscriptions WHERE account_id = @id AND ended IS NULL)
			ORDER BY n
			LIMIT 1`, args{
			"id": id, "endpoint": s.Endpoint, "p256dh": s.P256dh, "auth": s.Auth, "label": s.Label,
			"made": s.Made,
		})
		if err == nil && n == 0 {
			err = fault.Refusal("Five browsers wake you already. Remove one first.")
		}
		return err
	})
	return wrapErr(err, "subscribe a browser of account %d", id)
}

// SubscriptionsOf lists an account's browsers, including those that ended.
func (db *DB) SubscriptionsOf(ctx context.Context, id account.ID) ([]message.Subscription, error) {
	list, err := many[message.Subscription](ctx, db, `SELECT`+subscriptionColumns+`
		FROM push_subscriptions WHERE account_id = @id ORDER BY made, id`, args{"id": id})
	return list, wrapErr(err, "list browsers of account %d", id)
}

// Unsubscribe deletes one of an account's browsers.
func (db *DB) Unsubscribe(ctx context.Context, id account.ID, subscription int64) error {
	err := db.exec(ctx, `DELETE FROM push_subscriptions WHERE id = @id AND account_id = @account`,
		args{"id": subscription, "account": id})
	return wrapErr(err, "forget browser %d", subscription)
}

// Subscription returns a browser that has not ended.
func (db *DB) Subscription(ctx context.Context, id int64) (message.Subscription, error) {
	s, err := one[message.Subscription](ctx, db, `SELECT`+subscriptionColumns+`
		FROM push_subscriptions WHERE id = @id AND ended IS NULL`, args{"id": id})
	return s, wrapNone(err, message.ErrNotFound, "load browser %d", id)
}

// EndSubscription stores that a browser no longer takes messages, and why. The desk shows it to
// the owner.
func (db *DB) EndSubscription(ctx context.Context, id int64, at time.Time, why string) error {
	err := db.exec(ctx, `UPDATE push_subscriptions SET ended = @at, ended_why = @why WHERE id = @id AND ended IS NULL`,
		args{"id": id, "at": at, "why": why})
	return wrapErr(err, "end browser %d", id)
}

// PushQueue is a browser that push messages go to, with its number within its account.
type PushQueue struct {
	Email string // of the account
	ID    int64
	Slot  int
}

// PushQueues lists every browser that has not ended, of active accounts.
func (db *DB) PushQueues(ctx context.Context) ([]PushQueue, error) {
	list, err := many[PushQueue](ctx, db, `
		SELECT
			lower(a.email) AS email,
			s.id,
			s.slot
		FROM push_subscriptions s
		JOIN accounts a ON a.id = s.account_id
		WHERE s.ended IS NULL AND a.active
		ORDER BY s.id`, nil)
	return list, wrapErr(err, "list browsers to wake")
}
