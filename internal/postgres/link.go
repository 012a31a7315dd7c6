package postgres

import (
	"context"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/ref"
)

// linkRow is a link as it is stored.
type linkRow struct {
	Hash          account.Hash
	Purpose       account.Purpose
	Subject       string
	Expires, Used time.Time
}

func (db *DB) loadLink(ctx context.Context, hash account.Hash, lock string) (account.Link, error) {
	row, err := one[linkRow](ctx, db, `
		SELECT
			hash,
			purpose,
			subject,
			expires,
			used
		FROM links
		WHERE hash = @hash `+lock, args{"hash": hash})
	if err != nil {
		return account.Link{}, err
	}
	target, err := account.ParseTarget(row.Purpose, row.Subject)
	return account.Link{Hash: row.Hash, Target: target, Expires: row.Expires, Used: row.Used}, err
}

// useLink checks a link that works once and marks it as used.
func (db *DB) useLink(ctx context.Context, hash account.Hash, now time.Time) (account.Link, error) {
	l, err := db.loadLink(ctx, hash, "FOR UPDATE")
	if err == nil {
		err = l.Check(now)
	}
	if err == nil {
		err = db.exec(ctx, `UPDATE links SET used = @now WHERE hash = @hash`, args{"hash": hash, "now": now})
	}
	return l, err
}

// insertLinkSQL stores a link that never expires with the end of time.
const insertLinkSQL = `
	INSERT INTO links (hash, purpose, subject, expires)
	VALUES (@hash, @purpose, @subject, coalesce(@expires::timestamptz, 'infinity'))`

func linkArgs(l account.Link) args {
	return args{"hash": l.Hash, "purpose": l.Purpose, "subject": l.Subject(), "expires": l.Expires}
}

func (db *DB) insertLink(ctx context.Context, l account.Link) error {
	return db.exec(ctx, insertLinkSQL, linkArgs(l))
}

func (s accounts) AddLink(ctx context.Context, l account.Link) error {
	err := s.inTx(ctx, func(ctx context.Context) error {
		if err := s.RemoveLinks(ctx, l.Target); err != nil {
			return err
		}
		return s.insertLink(ctx, l)
	})
	return accountErr(err, "add link")
}

func (s accounts) LinkByHash(ctx context.Context, h account.Hash) (account.Link, error) {
	l, err := s.loadLink(ctx, h, "")
	return l, accountErr(err, "load link")
}

func (s accounts) RemoveLinks(ctx context.Context, t account.Target) error {
	err := s.exec(ctx, `DELETE FROM links WHERE purpose = @purpose AND subject = @subject`,
		args{"purpose": t.Purpose, "subject": t.Subject()})
	return accountErr(err, "remove links")
}

func (s accounts) PlacesOf(ctx context.Context, email string, after time.Time) ([]string, error) {
	list, err := values[string](ctx, s.DB, `
		SELECT s.id::text
		FROM signups AS s
		JOIN hikes AS h ON h.id = s.hike_id
		WHERE lower(s.email) = @email AND h.start > @after
		ORDER BY h.start, s.asked_order`, args{"email": email, "after": after})
	return list, accountErr(err, "list places of an address")
}

func (s accounts) RenewPlace(ctx context.Context, signUp string, h account.Hash) error {
	err := s.inTx(ctx, func(ctx context.Context) error {
		err := s.execOne(ctx, `UPDATE signups SET link = @hash WHERE id = @id`, args{"id": signUp, "hash": h})
		if err != nil {
			return err
		}
		return s.RemoveLinks(ctx, account.PlaceTarget(signUp))
	})
	return accountErr(err, "renew link to a place")
}

const dayLinkColumns = `
	id,
	hash,
	hike_id AS hike,
	name,
	part,
	made,
	made_by,
	expires,
	last_used,
	withdrawn`

func (s accounts) AddDayLink(ctx context.Context, l account.DayLink) error {
	return accountErr(s.insert(ctx, "day_links", args{
		"hash": l.Hash, "hike_id": l.Hike, "name": l.Name, "part": l.Part, "made": l.Made, "made_by": l.MadeBy,
		"expires": l.Expires,
	}), "add link for the day")
}

func (s accounts) DayLinks(ctx context.Context, hike ref.Hike) ([]account.DayLink, error) {
	list, err := many[account.DayLink](ctx, s.DB, `SELECT`+dayLinkColumns+`
		FROM day_links WHERE hike_id = @hike ORDER BY id`, args{"hike": hike})
	return list, accountErr(err, "list links for the day")
}

func (s accounts) DayLinkByHash(ctx context.Context, h account.Hash) (account.DayLink, error) {
	l, err := one[account.DayLink](ctx, s.DB, `SELECT`+dayLinkColumns+`
		FROM day_links WHERE hash = @hash`, args{"hash": h})
	return l, accountErr(err, "load link for the day")
}

func (s accounts) DayLinkUsed(ctx context.Context, id int64, now time.Time) error {
	err := s.exec(ctx, `
		UPDATE day_links SET last_used = @now::timestamptz
		WHERE id = @id AND (last_used IS NULL OR last_used <= @now::timestamptz - interval '1 minute')`,
		args{"id": id, "now": now})
	return accountErr(err, "note use of link for the day")
}

func (s accounts) WithdrawDayLink(ctx context.Context, hike ref.Hike, id int64, now time.Time) error {
	err := s.execOne(ctx, `
		UPDATE day_links SET withdrawn = coalesce(withdrawn, @now)
		WHERE hike_id = @hike AND id = @id`, args{"hike": hike, "id": id, "now": now})
	return accountErr(err, "withdraw link for the day")
}

func (s accounts) EndDayLinks(ctx context.Context, hike ref.Hike, at time.Time) error {
	err := s.exec(ctx, `UPDATE day_links SET expires = least(expires, @at) WHERE hike_id = @hike`,
		args{"hike": hike, "at": at})
	return accountErr(err, "end links for the day")
}
