package postgres

import (
	"context"
	"errors"
	"maps"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
)

// shuttleRow is what a leader decided about the cars of a hike.
type shuttleRow struct {
	EndLot  string
	Minutes int
	By      string
	At      time.Time
	Opened  time.Time
}

// rideRow is what is stored about one person and the cars.
type rideRow struct {
	Person    string
	Shares    time.Time
	Town      string
	Car       *signup.Car
	Told      string
	ToldTimes int
}

// RideBook loads what is stored about the cars of a hike.
func (db *DB) RideBook(ctx context.Context, id ref.Hike) (ride.Book, error) {
	b, err := db.rideBook(ctx, id)
	return b, wrapErr(err, "load rides of hike %d", id)
}

func (db *DB) rideBook(ctx context.Context, id ref.Hike) (ride.Book, error) {
	b := ride.Book{Sharing: map[string]ride.Sharing{}, Cars: map[string]signup.Car{}, Told: map[string]ride.RideTold{}}
	s, err := one[shuttleRow](ctx, db, `
		SELECT
			end_lot,
			minutes,
			by_whom AS by,
			at,
			opened
		FROM shuttles
		WHERE hike_id = @hike`, args{"hike": id})
	if err != nil && !errors.Is(err, pgx.ErrNoRows) {
		return b, err
	}
	b.Shuttle = ride.Shuttle{EndLot: s.EndLot, Drive: time.Duration(s.Minutes) * time.Minute, By: s.By, At: s.At}
	b.Opened = s.Opened
	rows, err := many[rideRow](ctx, db, `
		SELECT
			person,
			shares,
			town,
			car,
			told,
			told_times
		FROM rides
		WHERE hike_id = @hike`, args{"hike": id})
	for _, r := range rows {
		b.Sharing[r.Person] = ride.Sharing{Town: r.Town, Since: r.Shares}
		b.Told[r.Person] = ride.RideTold{Part: r.Told, Times: r.ToldTimes}
		if r.Car != nil {
			b.Cars[r.Person] = *r.Car
		}
	}
	return b, err
}

// ChangeRides locks the hike, applies change and saves the book.
func (db *DB) ChangeRides(
	ctx context.Context, id ref.Hike, change func(hike.Hike, []signup.SignUp, *ride.Book) error,
) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		h, places, err := db.lockPlaces(ctx, id)
		if err != nil {
			return err
		}
		b, err := db.rideBook(ctx, id)
		if err != nil {
			return err
		}
		if err := change(h, places, &b); err != nil {
			return err
		}
		return db.saveRides(ctx, id, b)
	})
	return wrapErr(err, "change rides of hike %d", id)
}

// saveRides writes the whole book: it is small, and the hike is locked.
func (db *DB) saveRides(ctx context.Context, id ref.Hike, b ride.Book) error {
	batch := &pgx.Batch{}
	shuttle := args{
		"hike_id": id, "end_lot": b.Shuttle.EndLot, "minutes": int(b.Shuttle.Drive.Minutes()),
		"by_whom": b.Shuttle.By, "at": b.Shuttle.At, "opened": b.Opened,
	}
	batch.Queue(upsertSQL("shuttles", "hike_id", shuttle), shuttle)
	batch.Queue(`DELETE FROM rides WHERE hike_id = @hike`, args{"hike": id})
	people := map[string]bool{}
	addKeys(people, b.Sharing)
	addKeys(people, b.Cars)
	addKeys(people, b.Told)
	for _, person := range slices.Sorted(maps.Keys(people)) {
		row := args{
			"hike_id": id, "person": person, "shares": b.Sharing[person].Since, "town": b.Sharing[person].Town,
			"car": nil, "told": b.Told[person].Part, "told_times": b.Told[person].Times,
		}
		if c, known := b.Cars[person]; known {
			row["car"] = c
		}
		batch.Queue(insertSQL("rides", row), row)
	}
	return db.send(ctx, batch)
}

func addKeys[V any](people map[string]bool, of map[string]V) {
	for person := range of {
		people[person] = true
	}
}
