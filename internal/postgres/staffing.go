package postgres

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/track"
)

// AcceptStaff records a yes of somebody on the staff.
func (db *DB) AcceptStaff(ctx context.Context, id hike.HikeID, person string, now time.Time) error {
	return db.ChangeHike(ctx, id, func(h *hike.Hike) error { return h.Accept(person, now) })
}

// DeclineStaff takes somebody off the staff and keeps what they said.
func (db *DB) DeclineStaff(ctx context.Context, id hike.HikeID, person, because string, now time.Time) (hike.Decline, error) {
	return db.decline(ctx, id, func(h *hike.Hike) (hike.Decline, error) { return h.Decline(person, because, now) })
}

// DeclineOnCall leaves on-call open and keeps what the person said.
func (db *DB) DeclineOnCall(ctx context.Context, id hike.HikeID, because string, now time.Time) (hike.Decline, error) {
	return db.decline(ctx, id, func(h *hike.Hike) (hike.Decline, error) { return h.DeclineOnCall(because, now) })
}

func (db *DB) decline(ctx context.Context, id hike.HikeID, change func(*hike.Hike) (hike.Decline, error)) (d hike.Decline, err error) {
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHike(ctx, tx, id, "FOR UPDATE OF h")
		if err != nil {
			return err
		}
		if d, err = change(&h); err != nil {
			return err
		}
		if err := saveHike(ctx, tx, h); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `INSERT INTO staff_declines (hike_id, account_id, name, role, because, at) VALUES ($1, nullif($2, 0), $3, $4, $5, $6)`,
			id, d.Account, d.Name, d.Role, d.Because, d.At)
		return err
	})
	return d, found(err, "decline a part on hike %d", id)
}

// Declines lists who declined a part on the hike, the latest first.
func (db *DB) Declines(ctx context.Context, id hike.HikeID) ([]hike.Decline, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			d.hike_id AS hike,
			coalesce(d.account_id, 0) AS account,
			coalesce(a.name, d.name) AS name,
			d.role,
			d.because,
			d.at
		FROM staff_declines d
		LEFT JOIN accounts a ON a.id = d.account_id
		WHERE d.hike_id = $1
		ORDER BY d.at DESC`, id)
	list, err := pgx.CollectRows(rows, pgx.RowToStructByName[hike.Decline])
	return list, found(err, "list declines of hike %d", id)
}

// PlacesOf loads the places of several hikes at once.
func (db *DB) PlacesOf(ctx context.Context, hikes []hike.HikeID) (map[hike.HikeID][]hike.SignUp, error) {
	rows, _ := db.pool.Query(ctx, `SELECT`+signUpColumns+` FROM signups WHERE hike_id = ANY($1) ORDER BY hike_id, asked_order`, hikes)
	list, err := pgx.CollectRows(rows, scanSignUp)
	by := map[hike.HikeID][]hike.SignUp{}
	for _, s := range list {
		by[s.Hike] = append(by[s.Hike], s)
	}
	return by, found(err, "list places of %d hikes", len(hikes))
}

// Roads loads the typed drives and the ends of every trail.
func (db *DB) Roads(ctx context.Context) (hike.Roads, error) {
	r := hike.Roads{Typed: map[hike.Pair]time.Duration{}, Ends: map[hike.TrailID]hike.Ends{}}
	rows, _ := db.pool.Query(ctx, `SELECT from_trail, to_trail, minutes FROM drives`)
	var p hike.Pair
	var minutes int
	_, err := pgx.ForEachRow(rows, []any{&p.From, &p.To, &minutes}, func() error {
		r.Typed[p] = time.Duration(minutes) * time.Minute
		return nil
	})
	if err != nil {
		return r, found(err, "list drives")
	}
	rows, _ = db.pool.Query(ctx, `SELECT id, profile FROM trails`)
	var id hike.TrailID
	var packed []byte
	_, err = pgx.ForEachRow(rows, []any{&id, &packed}, func() error {
		ends, err := endsOf(packed)
		if err != nil {
			return fmt.Errorf("trail %d: %w", id, err)
		}
		r.Ends[id] = ends
		return nil
	})
	return r, found(err, "list ends of trails")
}

// endsOf finds where a walk begins and ends: but for a one-way, at the same place.
func endsOf(packed []byte) (hike.Ends, error) {
	var p track.Profile
	if err := p.UnmarshalBinary(packed); err != nil {
		return hike.Ends{}, fmt.Errorf("unpack profile: %w", err)
	}
	if len(p.Samples) == 0 {
		return hike.Ends{}, fmt.Errorf("profile without samples")
	}
	ends := hike.Ends{Start: p.Samples[0].At, End: p.Samples[0].At}
	if p.Shape == track.OneWay {
		ends.End = p.Samples[len(p.Samples)-1].At
	}
	return ends, nil
}

// SaveDrive types a drive in.
func (db *DB) SaveDrive(ctx context.Context, p hike.Pair, takes time.Duration) error {
	_, err := db.pool.Exec(ctx, `
		INSERT INTO drives (from_trail, to_trail, minutes) VALUES ($1, $2, $3)
		ON CONFLICT (from_trail, to_trail) DO UPDATE SET minutes = $3`, p.From, p.To, int(takes.Minutes()))
	return found(err, "save drive from trail %d to %d", p.From, p.To)
}
