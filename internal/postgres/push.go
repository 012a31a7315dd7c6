package postgres

import (
	"context"
	"errors"
	"fmt"
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
		err = db.makePushKey(ctx, now)
		if err == nil {
			private, err = db.pushKey(ctx)
		}
	}
	if err != nil {
		return message.PushKeys{}, found(err, "load push keys")
	}
	return message.ParsePushKeys(private)
}

func (db *DB) pushKey(ctx context.Context) (private []byte, err error) {
	err = db.pool.QueryRow(ctx, `SELECT private FROM push_keys`).Scan(&private)
	return private, err
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
	_, err = db.pool.Exec(ctx, `INSERT INTO push_keys (private, made) VALUES ($1, $2) ON CONFLICT (one) DO NOTHING`, private, now)
	return err
}

const subscriptionColumns = `
	id,
	endpoint,
	p256dh,
	auth,
	label,
	made,
	ended,
	ended_why`

func scanSubscription(row pgx.CollectableRow) (s message.Subscription, err error) {
	var ended *time.Time
	err = row.Scan(&s.ID, &s.Endpoint, &s.P256dh, &s.Auth, &s.Label, &s.Made, &ended, &s.Why)
	if ended != nil {
		s.Ended = *ended
	}
	return s, err
}

// Subscribe stores that a browser wakes an account. One that is known already belongs to
// whoever subscribed it last. It is a refusal where the account has as many as it may.
func (db *DB) Subscribe(ctx context.Context, id account.ID, s message.Subscription) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		// Holds the account, so that two browsers at once do not take one slot.
		if _, err := tx.Exec(ctx, `SELECT 1 FROM accounts WHERE id = $1 FOR UPDATE`, id); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `DELETE FROM push_subscriptions WHERE endpoint = $1`, s.Endpoint); err != nil {
			return err
		}
		tag, err := tx.Exec(ctx, `
			INSERT INTO push_subscriptions (account_id, slot, endpoint, p256dh, auth, label, made)
			SELECT $1, n, $2, $3, $4, $5, $6
			FROM generate_series(1, 5) AS n
			WHERE n NOT IN (SELECT slot FROM push_subscriptions WHERE account_id = $1 AND ended IS NULL)
			ORDER BY n
			LIMIT 1`, id, s.Endpoint, s.P256dh, s.Auth, s.Label, s.Made)
		if err == nil && tag.RowsAffected() == 0 {
			return hike.Refusal("Five browsers wake you already. Remove one first.")
		}
		return err
	})
	return found(err, "subscribe a browser of account %d", id)
}

// SubscriptionsOf lists an account's browsers, those that have ended too.
func (db *DB) SubscriptionsOf(ctx context.Context, id account.ID) ([]message.Subscription, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+subscriptionColumns+` FROM push_subscriptions WHERE account_id = $1 ORDER BY made, id`, id)
	list, err := pgx.CollectRows(rows, scanSubscription)
	return list, found(err, "list browsers of account %d", id)
}

// Unsubscribe forgets one of an account's browsers.
func (db *DB) Unsubscribe(ctx context.Context, id account.ID, subscription int64) error {
	_, err := db.pool.Exec(ctx, `DELETE FROM push_subscriptions WHERE id = $1 AND account_id = $2`, subscription, id)
	return found(err, "forget browser %d", subscription)
}

// Subscription returns one that has not ended.
func (db *DB) Subscription(ctx context.Context, id int64) (message.Subscription, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+subscriptionColumns+` FROM push_subscriptions WHERE id = $1 AND ended IS NULL`, id)
	s, err := pgx.CollectExactlyOneRow(rows, scanSubscription)
	if errors.Is(err, pgx.ErrNoRows) {
		return s, fmt.Errorf("browser %d: %w", id, message.ErrNotFound)
	}
	return s, found(err, "load browser %d", id)
}

// EndSubscription stores that nobody listens any more, and why. Whom it woke is told on
// the desk.
func (db *DB) EndSubscription(ctx context.Context, id int64, at time.Time, why string) error {
	_, err := db.pool.Exec(ctx, `UPDATE push_subscriptions SET ended = $2, ended_why = $3 WHERE id = $1 AND ended IS NULL`, id, at, why)
	return found(err, "end browser %d", id)
}

// Waking is one browser to be woken, with its number within its account.
type Waking struct {
	Email string // of the account
	ID    int64
	Slot  int
}

// Wakings lists every browser that has not ended, of accounts that may sign in.
func (db *DB) Wakings(ctx context.Context) ([]Waking, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			lower(a.email) AS email,
			s.id,
			s.slot
		FROM push_subscriptions s
		JOIN accounts a ON a.id = s.account_id
		WHERE s.ended IS NULL AND a.active
		ORDER BY s.id`)
	list, err := pgx.CollectRows(rows, pgx.RowToStructByName[Waking])
	return list, found(err, "list browsers to wake")
}
