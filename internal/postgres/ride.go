package postgres

import (
	"context"
	"errors"
	"maps"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
)

// RideBook loads what is kept about the cars of a hike.
func (db *DB) RideBook(ctx context.Context, id hike.HikeID) (hike.RideBook, error) {
	b, err := rideBook(ctx, db.pool, id)
	return b, found(err, "load rides of hike %d", id)
}

func rideBook(ctx context.Context, q querier, id hike.HikeID) (hike.RideBook, error) {
	b := hike.RideBook{Sharing: map[string]hike.Sharing{}, Cars: map[string]hike.Car{}, Told: map[string]hike.RideTold{}}
	var minutes int
	err := q.QueryRow(ctx, `
		SELECT
			end_lot,
			minutes,
			by_whom,
			at,
			opened
		FROM shuttles
		WHERE hike_id = $1`, id).Scan(&b.Shuttle.EndLot, &minutes, &b.Shuttle.By, scanZero(&b.Shuttle.At), scanZero(&b.Opened))
	if err != nil && !errors.Is(err, pgx.ErrNoRows) {
		return b, err
	}
	b.Shuttle.Drive = time.Duration(minutes) * time.Minute
	rows, err := q.Query(ctx, `
		SELECT
			person::text,
			shares,
			town,
			car,
			told,
			told_times
		FROM rides
		WHERE hike_id = $1`, id)
	if err != nil {
		return b, err
	}
	var person string
	var s hike.Sharing
	var car *hike.Car
	var told hike.RideTold
	_, err = pgx.ForEachRow(rows, []any{&person, scanZero(&s.Since), &s.Town, &car, &told.Part, &told.Times}, func() error {
		b.Sharing[person], b.Told[person] = s, told
		if car != nil {
			b.Cars[person] = *car
		}
		car = nil
		return nil
	})
	return b, err
}

// ChangeRides applies change with the hike locked and saves the book.
func (db *DB) ChangeRides(ctx context.Context, id hike.HikeID, change func(hike.Hike, []hike.SignUp, *hike.RideBook) error) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHike(ctx, tx, id, "FOR UPDATE OF h")
		if err != nil {
			return err
		}
		places, err := signUpsOf(ctx, tx, id)
		if err != nil {
			return err
		}
		b, err := rideBook(ctx, tx, id)
		if err != nil {
			return err
		}
		if err := change(h, places, &b); err != nil {
			return err
		}
		return saveRides(ctx, tx, id, b)
	})
	return found(err, "change rides of hike %d", id)
}

// saveRides writes the book whole: it is small, and the hike is locked.
func saveRides(ctx context.Context, tx pgx.Tx, id hike.HikeID, b hike.RideBook) error {
	batch := &pgx.Batch{}
	batch.Queue(`
		INSERT INTO shuttles (hike_id, end_lot, minutes, by_whom, at, opened)
		VALUES ($1, $2, $3, $4, $5, $6)
		ON CONFLICT (hike_id) DO UPDATE SET
			end_lot = excluded.end_lot,
			minutes = excluded.minutes,
			by_whom = excluded.by_whom,
			at = excluded.at,
			opened = excluded.opened`, id, b.Shuttle.EndLot, int(b.Shuttle.Drive.Minutes()), b.Shuttle.By, orNull(b.Shuttle.At), orNull(b.Opened))
	batch.Queue(`DELETE FROM rides WHERE hike_id = $1`, id)
	people := map[string]bool{}
	keep(people, b.Sharing)
	keep(people, b.Cars)
	keep(people, b.Told)
	for _, person := range slices.Sorted(maps.Keys(people)) {
		s, told := b.Sharing[person], b.Told[person]
		var car *hike.Car
		if c, known := b.Cars[person]; known {
			car = &c
		}
		batch.Queue(`INSERT INTO rides (hike_id, person, shares, town, car, told, told_times) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			id, person, orNull(s.Since), s.Town, car, told.Part, told.Times)
	}
	return tx.SendBatch(ctx, batch).Close()
}

func keep[V any](people map[string]bool, of map[string]V) {
	for person := range of {
		people[person] = true
	}
}
