package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
)

const dayLinkColumns = `
	id,
	hash,
	hike_id,
	name,
	part,
	made,
	made_by,
	expires,
	last_used,
	withdrawn`

func scanDayLink(row pgx.CollectableRow) (l account.DayLink, err error) {
	var hash []byte
	var used, withdrawn *time.Time
	err = row.Scan(&l.ID, &hash, &l.Hike, &l.Name, &l.Part, &l.Made, &l.MadeBy, &l.Expires, &used, &withdrawn)
	if err != nil {
		return l, err
	}
	if used != nil {
		l.LastUsed = *used
	}
	if withdrawn != nil {
		l.Withdrawn = *withdrawn
	}
	l.Hash, err = account.HashFromBytes(hash)
	return l, err
}

func (s accounts) AddDayLink(ctx context.Context, l account.DayLink) error {
	_, err := s.pool.Exec(ctx, `
		INSERT INTO day_links (hash, hike_id, name, part, made, made_by, expires)
		VALUES (@hash, @hike_id, @name, @part, @made, @made_by, @expires)`, pgx.NamedArgs{
		"hash": l.Hash[:], "hike_id": l.Hike, "name": l.Name, "part": l.Part, "made": l.Made, "made_by": l.MadeBy, "expires": l.Expires,
	})
	return accountFault(err, "add link for the day")
}

func (s accounts) DayLinks(ctx context.Context, hike int64) ([]account.DayLink, error) {
	rows, _ := s.pool.Query(ctx, `SELECT`+dayLinkColumns+` FROM day_links WHERE hike_id = $1 ORDER BY id`, hike)
	list, err := pgx.CollectRows(rows, scanDayLink)
	return list, accountFault(err, "list links for the day")
}

func (s accounts) DayLinkByHash(ctx context.Context, h account.Hash) (account.DayLink, error) {
	rows, _ := s.pool.Query(ctx, `SELECT`+dayLinkColumns+` FROM day_links WHERE hash = $1`, h[:])
	l, err := pgx.CollectExactlyOneRow(rows, scanDayLink)
	return l, accountFault(err, "load link for the day")
}

func (s accounts) DayLinkUsed(ctx context.Context, id int64, now time.Time) error {
	_, err := s.pool.Exec(ctx, `
		UPDATE day_links SET last_used = $2::timestamptz
		WHERE id = $1 AND (last_used IS NULL OR last_used <= $2::timestamptz - interval '1 minute')`, id, now)
	return accountFault(err, "note use of link for the day")
}

func (s accounts) WithdrawDayLink(ctx context.Context, hike, id int64, now time.Time) error {
	tag, err := s.pool.Exec(ctx, `
		UPDATE day_links SET withdrawn = coalesce(withdrawn, $3)
		WHERE hike_id = $1 AND id = $2`, hike, id, now)
	return accountFault(oneRow(tag, err), "withdraw link for the day")
}

func (s accounts) EndDayLinks(ctx context.Context, hike int64, at time.Time) error {
	_, err := s.pool.Exec(ctx, `UPDATE day_links SET expires = least(expires, $2) WHERE hike_id = $1`, hike, at)
	return accountFault(err, "end links for the day")
}
