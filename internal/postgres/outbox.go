package postgres

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

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
	batch, err := queueBatch(now, mails)
	if err != nil {
		return err
	}
	return found(o.pool.SendBatch(ctx, batch).Close(), "queue %d mails", len(mails))
}

// queueBatch stores mails, in the caller's transaction where there is one.
func queueBatch(now time.Time, mails []message.Mail) (*pgx.Batch, error) {
	batch := &pgx.Batch{}
	for _, m := range mails {
		attached, err := json.Marshal(m.Attach)
		if err != nil {
			return nil, fmt.Errorf("queue mail %s: %w", m.Key, err)
		}
		if m.Attach == nil {
			attached = []byte("[]")
		}
		batch.Queue(`
			INSERT INTO outbox (key, channel, recipient, subject, body, attached, state, created, next_try, useless_at, topic, stop)
			SELECT $1, $2, $3, $4, $5, $6, 'queued', $7::timestamptz, greatest($7::timestamptz, $9), $8, $10, $11
			WHERE NOT EXISTS (SELECT FROM mail_choices WHERE address = lower($3) AND topic = $10 AND stopped IS NOT NULL)
			ON CONFLICT (key) DO NOTHING`,
			m.Key, m.Channel.OrMail(), m.To, m.Subject, m.Text, attached, now, orNull(m.UselessAt), orNull(m.NextTry), m.Topic, m.StopAt)
	}
	return batch, nil
}

// zeroable scans a time that may be null into the zero time.
type zeroable struct{ to *time.Time }

func scanZero(t *time.Time) zeroable { return zeroable{t} }

// Scan is for the driver.
func (z zeroable) Scan(from any) error {
	*z.to, _ = from.(time.Time)
	return nil
}

// orNull stores the zero time as null.
func orNull(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

const mailColumns = `
	id,
	key,
	channel,
	recipient,
	subject,
	body,
	state,
	created,
	next_try,
	useless_at,
	sent,
	tries,
	last_error,
	topic,
	stop`

func scanMail(row pgx.CollectableRow) (m message.Mail, err error) {
	var useless, sent *time.Time
	err = row.Scan(&m.ID, &m.Key, &m.Channel, &m.To, &m.Subject, &m.Text, &m.State, &m.Created, &m.NextTry,
		&useless, &sent, &m.Tries, &m.LastError, &m.Topic, &m.StopAt)
	if useless != nil {
		m.UselessAt = *useless
	}
	if sent != nil {
		m.SentAt = *sent
	}
	return m, err
}

func (o outbox) Claim(ctx context.Context, now time.Time, hold time.Duration, n int) ([]message.Mail, error) {
	rows, _ := o.pool.Query(ctx, `
		UPDATE outbox SET tries = tries + 1, next_try = $2
		WHERE id IN (
			SELECT id FROM outbox
			WHERE state = 'queued' AND channel = $4 AND next_try <= $1
			ORDER BY next_try, id
			LIMIT $3
			FOR UPDATE SKIP LOCKED
		)
		RETURNING`+mailColumns, now, now.Add(hold), n, o.channel)
	mails, err := pgx.CollectRows(rows, scanMail)
	if err != nil {
		return nil, found(err, "claim mail")
	}
	for i := range mails {
		if err := o.attach(ctx, &mails[i]); err != nil {
			return nil, err
		}
	}
	return mails, nil
}

func (o outbox) attach(ctx context.Context, m *message.Mail) error {
	var attached []byte
	err := o.pool.QueryRow(ctx, `SELECT attached FROM outbox WHERE id = $1`, m.ID).Scan(&attached)
	if err == nil {
		err = json.Unmarshal(attached, &m.Attach)
	}
	return found(err, "load attachments of mail %d", m.ID)
}

func (o outbox) MarkSent(ctx context.Context, m message.Mail, at time.Time) error {
	_, err := o.pool.Exec(ctx, `UPDATE outbox SET state = 'sent', sent = $2, last_error = '' WHERE id = $1`, m.ID, at)
	return found(err, "mark mail %d sent", m.ID)
}

func (o outbox) MarkFailed(ctx context.Context, m message.Mail, reason string, next time.Time) error {
	state := message.Queued
	if next.IsZero() {
		state, next = message.Failed, m.NextTry
	}
	_, err := o.pool.Exec(ctx, `
		UPDATE outbox SET state = $3, last_error = $4, next_try = $5
		WHERE id = $1 AND tries = $2 AND state = 'queued'`, m.ID, m.Tries, state, reason, next)
	return found(err, "mark mail %d failed", m.ID)
}

func (o outbox) Requeue(ctx context.Context, id int64, now time.Time) error {
	tag, err := o.pool.Exec(ctx, `
		UPDATE outbox SET state = 'queued', next_try = $2, tries = 0, useless_at = NULL
		WHERE id = $1 AND state = 'failed'`, id, now)
	if err == nil && tag.RowsAffected() == 0 {
		err = message.ErrNotFound
	}
	return found(err, "requeue mail %d", id)
}

func (o outbox) Recent(ctx context.Context, n int) ([]message.Mail, error) {
	rows, _ := o.pool.Query(ctx, `SELECT`+mailColumns+` FROM outbox ORDER BY created DESC, id DESC LIMIT $1`, n)
	mails, err := pgx.CollectRows(rows, scanMail)
	return mails, found(err, "list mail")
}
