package postgres

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
)

// PushKeys returns the pair by which push services know this site, and makes it the first
// time. All instances on one database share it.
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

// makePushKey stores a new pair unless another instance has been quicker.
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

// Subscribe stores that a browser wakes an account. One that is known already belongs to
// whoever subscribed it last. It is a refusal where the account has as many as it may.
func (db *DB) Subscribe(ctx context.Context, id account.ID, s message.Subscription) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		// Locks the account, so that two browsers at once do not take one slot.
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
			err = hike.Refusal("Five browsers wake you already. Remove one first.")
		}
		return err
	})
	return wrapErr(err, "subscribe a browser of account %d", id)
}

// SubscriptionsOf lists an account's browsers, those that have ended too.
func (db *DB) SubscriptionsOf(ctx context.Context, id account.ID) ([]message.Subscription, error) {
	list, err := many[message.Subscription](ctx, db, `SELECT`+subscriptionColumns+`
		FROM push_subscriptions WHERE account_id = @id ORDER BY made, id`, args{"id": id})
	return list, wrapErr(err, "list browsers of account %d", id)
}

// Unsubscribe forgets one of an account's browsers.
func (db *DB) Unsubscribe(ctx context.Context, id account.ID, subscription int64) error {
	err := db.exec(ctx, `DELETE FROM push_subscriptions WHERE id = @id AND account_id = @account`,
		args{"id": subscription, "account": id})
	return wrapErr(err, "forget browser %d", subscription)
}

// Subscription returns one that has not ended.
func (db *DB) Subscription(ctx context.Context, id int64) (message.Subscription, error) {
	s, err := one[message.Subscription](ctx, db, `SELECT`+subscriptionColumns+`
		FROM push_subscriptions WHERE id = @id AND ended IS NULL`, args{"id": id})
	return s, wrapNone(err, message.ErrNotFound, "load browser %d", id)
}

// EndSubscription stores that nobody listens any more, and why. The desk shows it to the
// person whom the browser woke.
func (db *DB) EndSubscription(ctx context.Context, id int64, at time.Time, why string) error {
	err := db.exec(ctx, `UPDATE push_subscriptions SET ended = @at, ended_why = @why WHERE id = @id AND ended IS NULL`,
		args{"id": id, "at": at, "why": why})
	return wrapErr(err, "end browser %d", id)
}

// Waking is one browser to be woken, with its number within its account.
type Waking struct {
	Email string // of the account
	ID    int64
	Slot  int
}

// Wakings lists every browser that has not ended, of accounts that may sign in.
func (db *DB) Wakings(ctx context.Context) ([]Waking, error) {
	list, err := many[Waking](ctx, db, `
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
