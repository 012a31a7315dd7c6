package postgres

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
)

// Number sets each event's sequence number and the time of its last change. If nothing changed
// it writes and locks nothing, because feeds are read far more often than hikes change.
func (db *DB) Number(ctx context.Context, now time.Time, events ...calendar.Event) ([]calendar.Event, error) {
	list := slices.Clone(events)
	changed, err := db.numberKnown(ctx, list)
	if err == nil && len(changed) > 0 {
		err = db.renumber(ctx, now, changed)
	}
	return list, wrapErr(err, "number %d calendar entries", len(events))
}

// renumber locks the entries in the order of their IDs, so that two calls do not deadlock.
func (db *DB) renumber(ctx context.Context, now time.Time, changed []*calendar.Event) error {
	slices.SortFunc(changed, func(a, b *calendar.Event) int { return bytes.Compare([]byte(a.UID), []byte(b.UID)) })
	batch := &pgx.Batch{}
	for _, e := range changed {
		d := e.Digest()
		batch.Queue(`
			INSERT INTO calendar_entries AS known (uid, digest, changed)
			VALUES (@uid, @digest, @now)
			ON CONFLICT (uid) DO UPDATE SET
				sequence = known.sequence + CASE WHEN known.digest = excluded.digest THEN 0 ELSE 1 END,
				digest = excluded.digest,
				changed = CASE WHEN known.digest = excluded.digest THEN known.changed ELSE excluded.changed END
			RETURNING sequence, changed`, args{"uid": e.UID, "digest": d[:], "now": now},
		).QueryRow(func(row pgx.Row) error { return row.Scan(&e.Sequence, &e.Stamp) })
	}
	return db.send(ctx, batch)
}

// entryRow is an entry as calendars last read it.
type entryRow struct {
	UID      string
	Digest   []byte
	Sequence int
	Changed  time.Time
}

// numberKnown numbers the events that have not changed, and returns the others.
func (db *DB) numberKnown(ctx context.Context, events []calendar.Event) (changed []*calendar.Event, err error) {
	by := map[string]*calendar.Event{}
	uids := make([]string, len(events))
	for i := range events {
		uids[i] = events[i].UID
		by[uids[i]] = &events[i]
	}
	rows, err := many[entryRow](ctx, db, `
		SELECT uid, digest, sequence, changed FROM calendar_entries WHERE uid = ANY(@uids)`, args{"uids": uids})
	for _, row := range rows {
		e := by[row.UID]
		if d := e.Digest(); bytes.Equal(d[:], row.Digest) {
			e.Sequence, e.Stamp = row.Sequence, row.Changed
			delete(by, row.UID)
		}
	}
	for _, e := range by {
		changed = append(changed, e)
	}
	return changed, err
}

const feedColumns = `
	id,
	account_id AS owner,
	name,
	made,
	last_read`

func (s accounts) Feeds(ctx context.Context, owner account.ID) ([]account.Feed, error) {
	list, err := many[account.Feed](ctx, s.DB, `SELECT`+feedColumns+`
		FROM calendar_feeds WHERE account_id = @owner ORDER BY id DESC`, args{"owner": owner})
	return list, wrapErr(err, "list calendar feeds of %d", owner)
}

// AddFeed locks the account while it counts the feeds, so that two calls cannot both add the
// last one.
func (s accounts) AddFeed(ctx context.Context, f account.Feed, h account.Hash) error {
	err := s.inTx(ctx, func(ctx context.Context) error {
		err := s.exec(ctx, `SELECT FROM accounts WHERE id = @owner FOR UPDATE`, args{"owner": f.Owner})
		if err != nil {
			return err
		}
		n, err := value[int](ctx, s.DB, `SELECT count(*) FROM calendar_feeds WHERE account_id = @owner`,
			args{"owner": f.Owner})
		if err != nil {
			return err
		}
		if n >= account.MaxFeeds {
			return account.ErrTooManyFeeds
		}
		return s.insert(ctx, "calendar_feeds", args{"account_id": f.Owner, "hash": h, "name": f.Name, "made": f.Made})
	})
	return wrapErr(err, "add calendar feed")
}

// ReadFeed stores the time at most once an hour, because programs read a feed far more often.
func (s accounts) ReadFeed(ctx context.Context, h account.Hash, now time.Time) (account.Feed, error) {
	f, err := one[account.Feed](ctx, s.DB, `SELECT`+feedColumns+`
		FROM calendar_feeds WHERE hash = @hash`, args{"hash": h})
	if errors.Is(err, pgx.ErrNoRows) {
		return f, account.ErrLinkUnknown
	}
	if hour := now.Truncate(time.Hour); err == nil && f.LastRead.Before(hour) {
		err = s.exec(ctx, `UPDATE calendar_feeds SET last_read = @hour WHERE id = @id`, args{"id": f.ID, "hour": hour})
	}
	return f, wrapErr(err, "read calendar feed")
}

func (s accounts) EndFeed(ctx context.Context, owner account.ID, id int64) error {
	err := s.execOne(ctx, `DELETE FROM calendar_feeds WHERE account_id = @owner AND id = @id`,
		args{"owner": owner, "id": id})
	return wrapNone(err, account.ErrNotFound, "end calendar feed %d", id)
}
